"""How dry seed is, how dry it should be, and the desiccant that brings it there."""

from dataclasses import dataclass
from typing import Literal

from perennate.catalogue.model import Crop
from perennate.catalogue.seed_life import SeedLife
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.reckoner.seed_lot import USUAL_HUMIDITY, not_dried, plant_of
from perennate.science.seed_moisture import (
    BEAD_CAPACITY,
    desiccant,
    equilibrium_humidity,
    equilibrium_moisture,
    measured_for_oily,
    silica_gel_capacity,
    warmest_drying_air,
    water_to_remove,
)
from perennate.terms import Text, text

NAME = "seed-drying"
POINTS_OFF = 1.5
"""Points of moisture by which the reckoned balance is usually off, either way (computed)."""
USUAL_TARGET_HUMIDITY = 25.0
MARGIN = 2.0
"""As much desiccant again is usual, since gel is never quite dry (common practice)."""
FREEZE_UP_TO_HUMIDITY = 35.0
LEGUME_FAMILY, LEAST_FOR_LEGUMES = "Fabaceae", 7.5
INPUTS = (
    Input("crop", "crop", optional=True),
    Input("species", "text", optional=True),
    Input("seed", "float", "g", 0.1, 1_000_000, default="100"),
    Input("moisture", "float", "%", 2, 60, optional=True),
    Input("humidity", "float", "%", 10, 70, optional=True),
    Input("temperature", "float", "degC", 0, 40, default="20"),
    Input("target", "float", "%", 2, 20, optional=True),
    Input("desiccant", "choice", default="gel", choices=("gel", "beads")),
)


@reckoner(NAME, INPUTS)
def seed_drying(
    crop: Crop | None,
    species: str | None,
    seed: float,
    moisture: float | None,
    humidity: float | None,
    temperature: float,
    target: float | None,
    desiccant: Literal["gel", "beads"],
) -> list[Answer]:
    """Moisture now and wanted, water to remove, weight when dry, desiccant, warmth of the air.

    Raises BadInput where nothing is known of the seed's oil, or the target is not drier than the
    seed or beyond what a desiccant can do.
    """
    life = plant_of(NAME, crop, species)
    if life.storage != "orthodox":
        return [not_dried(life)]
    if moisture is not None and humidity is not None:
        raise refuse(NAME, "moisture", "both", "the moisture of the seed or the air's humidity")
    have, said = _moisture_now(life, moisture, humidity, temperature)
    wanted, why, source = _target(life, target, temperature)
    if have.value <= wanted:
        last = Answer(
            "target moisture", wanted, None, None, "%", (why, text("reckoner.seeddry.done")), source
        )
        return [_now(life, have, said), last]
    water = float(water_to_remove(seed, have.value, wanted))
    gel, working, ends = _desiccant(life, water, wanted, temperature, desiccant)
    left = text("reckoner.seeddry.water", seed=seed, have=have.value, wanted=wanted, water=water)
    dry = text("reckoner.seeddry.weigh", weight=seed - water)
    air = float(warmest_drying_air(have.value))
    cautions = _cautions(crop, wanted, desiccant)
    answers = [
        _now(life, have, said),
        Answer("target moisture", wanted, None, None, "%", (why,), source),
        Answer("water to remove", water, None, None, "g", (left,), ("mass-balance",)),
        Answer("weight when dry", seed - water, None, None, "g", (dry,), ("mass-balance",)),
        Answer(
            "desiccant", gel, gel, gel * MARGIN, "g", working, ("mass-balance", "memory"), cautions
        ),
        Answer(
            "warmest air to dry in",
            air,
            None,
            None,
            "degC",
            (text("reckoner.seeddry.air", moisture=have.value),),
            ("harrington-1972",),
            (text("reckoner.seeddry.oven"),),
        ),
    ]
    if ends is not None:
        answers.append(_freezer(ends))
    return answers


@dataclass(frozen=True, slots=True)
class _Now:
    """Moisture of the seed [%], and how far it may be off either way; 0 where it is given."""

    value: float
    off: float


def _moisture_now(
    life: SeedLife, moisture: float | None, humidity: float | None, temperature: float
) -> tuple[_Now, tuple[Text, ...]]:
    if moisture is not None:
        return _Now(moisture, 0.0), (text("reckoner.seeddry.given", moisture=moisture),)
    air = USUAL_HUMIDITY if humidity is None else humidity
    oil = _oil(life)
    found = float(equilibrium_moisture(air, temperature, oil))
    said = [
        text("reckoner.seeddry.balance", humidity=air, temperature=temperature, oil=oil),
        text("reckoner.seeddry.off", points=POINTS_OFF),
    ]
    if not measured_for_oily(temperature, oil):
        said.append(text("lot_life.oily", temperature=temperature))
    return _Now(found, POINTS_OFF), tuple(said)


def _target(
    life: SeedLife, target: float | None, temperature: float
) -> tuple[float, Text, tuple[str, ...]]:
    if target is not None:
        return target, text("reckoner.seeddry.wanted"), ("given",)
    if life.seal is not None:
        sealed = text("reckoner.seeddry.seal", target=life.seal.value)
        return life.seal.value, sealed, (life.seal.source,)
    found = float(equilibrium_moisture(USUAL_TARGET_HUMIDITY, temperature, _oil(life)))
    told = text("reckoner.seeddry.usual", humidity=USUAL_TARGET_HUMIDITY)
    return found, told, ("cromarty-1982", "common-practice")


def _oil(life: SeedLife) -> float:
    if life.oil is None:
        expected = "its moisture and a target as well: what oil its seed holds is not known here"
        raise refuse(NAME, "species" if life.woody else "crop", life.plant, expected)
    return life.oil.value


def _now(life: SeedLife, have: _Now, said: tuple[Text, ...]) -> Answer:
    if have.off == 0:
        return Answer("moisture now", have.value, None, None, "%", said, ("given",))
    oil_from = () if life.oil is None else (life.oil.source,)
    sources = ("cromarty-1982", *oil_from)
    low = max(0.0, have.value - have.off)
    return Answer("moisture now", have.value, low, have.value + have.off, "%", said, sources)


def _desiccant(
    life: SeedLife, water: float, wanted: float, temperature: float, kind: Literal["gel", "beads"]
) -> tuple[float, tuple[Text, ...], float | None]:
    """Desiccant [g], how it came, and the humidity [%] that the jar ends at, where known."""
    ends: float | None = None
    if life.oil is not None:
        try:
            ends = float(equilibrium_humidity(wanted, temperature, life.oil.value))
        except ValueError as beyond:
            expected = f"a target within reach: {beyond}"
            raise refuse(NAME, "target", f"{wanted:g} %", expected) from None
    if kind == "beads":
        grams = float(desiccant(water, BEAD_CAPACITY))
        return grams, (text("reckoner.seeddry.beads", share=BEAD_CAPACITY),), ends
    if ends is None:
        expected = "beads: what oil this seed holds, and so what gel can do, is not known here"
        raise refuse(NAME, "desiccant", kind, expected)
    holds = float(silica_gel_capacity(ends))
    working = text("reckoner.seeddry.gel", humidity=ends, share=holds)
    return float(desiccant(water, holds)), (working, text("reckoner.seeddry.margin")), ends


def _freezer(ends: float) -> Answer:
    fit = ends <= FREEZE_UP_TO_HUMIDITY
    said = text("reckoner.seeddry.freeze" if fit else "reckoner.seeddry.no_freeze", humidity=ends)
    return Answer(
        "dry enough to freeze", "yes" if fit else "no", None, None, "", (said,), ("assumed",)
    )


def _cautions(crop: Crop | None, wanted: float, kind: Literal["gel", "beads"]) -> tuple[Text, ...]:
    found = [text("reckoner.seeddry.swap"), text("reckoner.seeddry.cobalt")]
    if kind == "beads":
        found.append(text("reckoner.seeddry.hot_beads"))
    if crop is not None and crop.family == LEGUME_FAMILY and wanted < LEAST_FOR_LEGUMES:
        found.append(text("reckoner.seeddry.legumes"))
    return tuple(found)
