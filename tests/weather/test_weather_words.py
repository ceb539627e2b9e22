"""Every sentence about the weather can be said, in both systems of units."""

import re
from importlib.resources import files

import pytest
import weather_bytes

from perennate.terms import Text
from perennate.weather import Remembered, climate_from, read_weather, update_with_readings
from perennate.weather.rules import forecast_night_rule, soil_warm_rule
from perennate.words.say import say, templates


def spoken() -> list[Text]:
    ten = weather_bytes.invented()
    climates = [
        climate_from([read_weather(weather_bytes.open_meteo(ten))], 53.0, 900.0),
        climate_from([], 50.0, 100.0),
        climate_from([], 50.0, 100.0, remembered=Remembered((6, 25), (8, 1), 4.0)),
    ]
    near = update_with_readings(climates[1], [], ten.days[0].astype(object))
    notes = [note for climate in climates for note in climate.notes]
    return [*notes, *near.notes, soil_warm_rule(15.6), forecast_night_rule(0.0)]


@pytest.mark.parametrize("units", ["metric", "us"])
def test_notes_and_rules_become_sentences(units) -> None:  # type: ignore[no-untyped-def]
    for note in spoken():
        sentence = say(note, units=units)
        assert sentence.endswith((".", ")"))
        assert "{" not in sentence


def test_every_code_of_this_floor_has_a_sentence_and_no_sentence_is_left_over() -> None:
    found: set[str] = set()
    for entry in files("perennate.weather").iterdir():
        if entry.name.endswith(".py"):
            found |= set(re.findall(r'"(weather\.[a-z_]+)"', entry.read_text(encoding="utf-8")))
    found -= {"weather.csv"}
    found |= {
        f"weather.{which}_frost_{way}"
        for which in ("last", "first")
        for way in ("later", "earlier")
    }
    assert found == {code for code in templates() if code.startswith("weather.")}


def test_the_soil_rule_in_degrees_fahrenheit_and_inches() -> None:
    assert say(soil_warm_rule(15.0), units="us").startswith("Go when the soil at 1.97 in has 59 °F")
