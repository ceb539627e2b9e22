"""Every value that the worked examples of FAO-56 and of McMahon and others print.

`et0_examples.csv`: fao56 is Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper
56, by example; mcmahon2013 is McMahon, Peel, Lowe, Srikanthan and McVicar 2013, Hydrology and Earth
System Sciences 17:1331, supplement S19. Tolerances are half a unit of the last printed digit where
one equation is meant, more where the print carries rounded values on.
"""

import csv
from collections.abc import Callable, Mapping
from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest

from perennate.science import crop_water as crop
from perennate.science import evapotranspiration as et
from perennate.science import hourly_evapotranspiration as hourly
from perennate.science import humidity as air
from perennate.science import open_water, radiation, soil_water, sun
from perennate.science.reference_evapotranspiration import reference_evapotranspiration

Given = Mapping[str, float]
Found = dict[str, object]
TABLE = Path(__file__).parent / "et0_examples.csv"
ROWS = list(csv.DictReader(TABLE.open(encoding="utf-8")))
GIVEN: dict[str, dict[str, float]] = {}
for line in ROWS:
    if line["role"] == "input":
        GIVEN.setdefault(line["example"], {})[line["quantity"]] = float(line["value"])
PRINTED = [line for line in ROWS if line["role"] != "input"]


def day_of_year(given: Given) -> float:
    return next(value for name, value in given.items() if name.startswith("day of year"))


def latitude(given: Given) -> float:
    return next(value for name, value in given.items() if name.startswith("latitude"))


def example_1(given: Given) -> Found:
    energy = given["net solar energy"] * given["share used for evaporation"]
    return {"evaporation": et.evaporation_equivalent(energy)}


def example_2(given: Given) -> Found:
    pressure = air.atmospheric_pressure(given["elevation"])
    gamma = air.psychrometric_constant(pressure)
    return {"atmospheric pressure": pressure, "psychrometric constant": gamma}


def example_3(given: Given) -> Found:
    low, high = given["Tmin"], given["Tmax"]
    return {
        "e0(Tmax)": air.saturation_vapour_pressure(high),
        "e0(Tmin)": air.saturation_vapour_pressure(low),
        "es": air.mean_saturation_vapour_pressure(low, high),
        "e0(Tmean), the wrong way": air.saturation_vapour_pressure((low + high) / 2),
    }


def example_4(given: Given) -> Found:
    pressure = air.atmospheric_pressure(given["elevation"])
    coefficient = given["psychrometer coefficient, ventilated"]
    return {
        "atmospheric pressure": pressure,
        "e0(Twet)": air.saturation_vapour_pressure(given["Twet"]),
        "psychrometer constant": coefficient * pressure,
        "ea": air.vapour_pressure_from_psychrometer(given["Tdry"], given["Twet"], pressure),
    }


def example_5(given: Given) -> Found:
    low, high = given["Tmin"], given["Tmax"]
    most, least = given["RHmax"], given["RHmin"]
    middle = (most + least) / 2
    return {
        "e0(Tmin)": air.saturation_vapour_pressure(low),
        "e0(Tmax)": air.saturation_vapour_pressure(high),
        "ea from RHmax and RHmin": air.vapour_pressure_from_humidity(low, high, most, least),
        "ea from RHmax only": air.vapour_pressure_from_greatest_humidity(low, most),
        "RHmean": middle,
        "ea from RHmean": air.vapour_pressure_from_mean_humidity(low, high, middle),
    }


def example_6(given: Given) -> Found:
    before = GIVEN["fao56-ex05 ea from relative humidity"]
    low, high = before["Tmin"], before["Tmax"]
    es = air.mean_saturation_vapour_pressure(low, high)
    ea = air.vapour_pressure_from_humidity(low, high, before["RHmax"], before["RHmin"])
    return {"es": es, "es - ea": es - ea}


def example_7(given: Given) -> Found:
    return {
        name.split(" 1")[0].split(" 2")[0]: np.radians(value)
        for name, value in given.items()
        if name.startswith("latitude")
    }


def example_8(given: Given) -> Found:
    ra = sun.extraterrestrial_radiation(latitude(given), day_of_year(given))
    return {
        "latitude": np.radians(latitude(given)),
        "dr": sun.relative_distance(day_of_year(given)),
        "solar declination": sun.declination(day_of_year(given)),
        "sunset hour angle": sun.sunset_hour_angle(latitude(given), day_of_year(given)),
        "Ra": ra,
        "Ra as evaporation": et.evaporation_equivalent(ra),
    }


def example_9(given: Given) -> Found:
    return {"N": sun.daylight_hours(latitude(given), day_of_year(given))}


def example_10(given: Given) -> Found:
    ra = sun.extraterrestrial_radiation(latitude(given), day_of_year(given))
    possible = sun.daylight_hours(latitude(given), day_of_year(given))
    hours = given["sunshine in May"] / 31
    rs = radiation.radiation_from_sunshine(ra, hours, possible)
    water = et.evaporation_equivalent(rs)
    return {"n": hours, "Ra": ra, "N": possible, "Rs": rs, "Rs as evaporation": water}


def example_11(given: Given) -> Found:
    rso = radiation.clear_sky_radiation(25.1, 0.0)  # Ra of example 10, at the sea
    lost = radiation.net_longwave(given["Tmin"], given["Tmax"], given["ea"], given["Rs"], rso)
    return {"Rso": rso, "Rnl": lost}


def example_12(given: Given) -> Found:
    # The print goes on from the unrounded Rs of example 10, 14.45.
    before = example_10(GIVEN["fao56-ex10 solar radiation from sunshine"])
    kept = radiation.net_shortwave(before["Rs"], given["albedo"])
    warmth = GIVEN["fao56-ex11 net longwave radiation"]
    rso = radiation.clear_sky_radiation(before["Ra"], 0.0)
    lost = radiation.net_longwave(warmth["Tmin"], warmth["Tmax"], warmth["ea"], before["Rs"], rso)
    return {"Rns": kept, "Rn": kept - lost}


def example_13(given: Given) -> Found:
    flux = radiation.heat_flux_of_month(
        given["T previous month (March)"], given["T next month (May)"]
    )
    return {"G, eq. 43": flux, "G as evaporation": et.evaporation_equivalent(flux)}


def example_14(given: Given) -> Found:
    return {"u2": et.wind_at_2m(given["wind at 10 m"], 10.0)}


def example_15(given: Given) -> Found:
    ra = sun.extraterrestrial_radiation(latitude(given), 196)
    rs = radiation.radiation_from_temperature(
        ra, given["Tmin"], given["Tmax"], given["kRs interior"]
    )
    return {"Ra (July)": ra, "Rs": rs}


def example_16(given: Given) -> Found:
    low, high = given["Tmin"], given["Tmax"]
    ra = sun.extraterrestrial_radiation(latitude(given), day_of_year(given))
    rs = radiation.radiation_from_temperature(ra, low, high, radiation.COAST_KRS)
    rso = radiation.clear_sky_radiation(ra, 0.0)
    kept = radiation.net_shortwave(rs)
    lost = radiation.net_longwave(low, high, given["ea"], rs, rso)
    return {"Rs": rs, "Rns": kept, "Rnl": lost, "Rn": kept - lost}


def parts_of_a_day(given: Given, ea: object, elevation: float) -> Found:
    """What examples 17, 18 and 20 and the day of Alice Springs print on the way."""
    low, high = given["Tmin"], given["Tmax"]
    ra = sun.extraterrestrial_radiation(latitude(given), day_of_year(given))
    possible = sun.daylight_hours(latitude(given), day_of_year(given))
    pressure = air.atmospheric_pressure(elevation)
    es = air.mean_saturation_vapour_pressure(low, high)
    found: Found = {
        "Tmean": (low + high) / 2,
        "delta": air.vapour_pressure_slope((low + high) / 2),
        "pressure": pressure,
        "gamma": air.psychrometric_constant(pressure),
        "e0(Tmax)": air.saturation_vapour_pressure(high),
        "e0(Tmin)": air.saturation_vapour_pressure(low),
        "es": es,
        "ea": ea,
        "es - ea": es - ea,
        "Ra": ra,
        "N": possible,
        "Rso": radiation.clear_sky_radiation(ra, elevation),
    }
    if "n" in given:
        a, b = given.get("Angstrom a", 0.25), given.get("Angstrom b", 0.5)
        rs = radiation.radiation_from_sunshine(ra, given["n"], possible, a, b)
        lost = radiation.net_longwave(low, high, ea, rs, found["Rso"])
        kept = radiation.net_shortwave(rs)
        found |= {"Rs": rs, "Rnl": lost, "Rns": kept, "Rn": kept - lost}
    return found


def example_17(given: Given) -> Found:
    found = parts_of_a_day(given, given["ea"], given["elevation"])
    flux = radiation.heat_flux_of_month_so_far(given["T previous month"], given["T month"])
    whole = reference_evapotranspiration(
        given["Tmin"],
        given["Tmax"],
        latitude(given),
        day_of_year(given),
        given["elevation"],
        sunshine_h=given["n"],
        vapour_pressure=given["ea"],
        wind=given["u2"],
        heat_flux=flux,
    )
    return found | {"G, eq. 44": flux, "ET0": whole.et0}


def example_18(given: Given) -> Found:
    low, high = given["Tmin"], given["Tmax"]
    ea = air.vapour_pressure_from_humidity(low, high, given["RHmax"], given["RHmin"])
    wind = given["wind at 10 m"] / 3.6
    whole = reference_evapotranspiration(
        low,
        high,
        latitude(given),
        day_of_year(given),
        given["elevation"],
        sunshine_h=given["n"],
        rhmax=given["RHmax"],
        rhmin=given["RHmin"],
        wind=wind,
        wind_height_m=10.0,
    )
    found = parts_of_a_day(given, ea, given["elevation"])
    return found | {"wind at 10 m": wind, "u2": et.wind_at_2m(wind, 10.0), "ET0": whole.et0}


def example_19(given: Given) -> Found:
    warmth, day = given["T"], given["day of year (1 October)"]
    hour = 14.5 if given["Rs"] else 2.5
    west, zone = given["longitude 16 deg 15 min W"], given["time zone centre"]
    gamma = air.psychrometric_constant(air.atmospheric_pressure(given["elevation"]))
    delta = air.vapour_pressure_slope(warmth)
    e0 = air.saturation_vapour_pressure(warmth)
    ea = e0 * given["RH"] / 100
    angle = hourly.hour_angle(hour, day, west, zone)
    ra = hourly.extraterrestrial_radiation_hour(latitude(given), day, angle)
    rso = radiation.clear_sky_radiation(ra, given["elevation"])
    clear = given.get("Rs/Rso carried from before sunset") or given["Rs"] / rso
    lost = hourly.net_longwave_hour(warmth, ea, clear)
    kept = radiation.net_shortwave(given["Rs"])
    flux = hourly.heat_flux_hour(kept - lost, given["Rs"] > 0)
    u2 = given["u2"]
    below = delta + gamma * (1 + 0.34 * u2)
    return {
        "delta": delta,
        "gamma": gamma,
        "e0(T)": e0,
        "ea": ea,
        "hour angle at midpoint": angle,
        "Ra": ra,
        "Rso": rso,
        "Rns": kept,
        "Rs/Rso": clear,
        "Rnl": lost,
        "Rn": kept - lost,
        "G night": flux,
        "G day": flux,
        "radiation term": 0.408 * delta * (kept - lost - flux) / below,
        "wind term": gamma * 37 / (warmth + 273) * u2 * (e0 - ea) / below,
        "ET0": hourly.et0_hour(warmth, ea, kept - lost, flux, u2, given["elevation"]),
    }


def example_20(given: Given) -> Found:
    low, high = given["Tmin"], given["Tmax"]
    found = parts_of_a_day(given, air.vapour_pressure_from_dew_point(low), given["elevation"])
    ra = sun.extraterrestrial_radiation(latitude(given), day_of_year(given))

    def with_wind(speed: float | None) -> float:
        place = (latitude(given), day_of_year(given), given["elevation"])
        return float(reference_evapotranspiration(low, high, *place, wind=speed).et0)

    usual = with_wind(None)
    return found | {
        "Rs": radiation.radiation_from_temperature(ra, low, high, given["kRs"]),
        "ET0, Penman-Monteith with estimates": usual,
        "ET0, Hargreaves eq. 52": et.et0_hargreaves(low, high, ra),
        "change of ET0 if u2 is 1 m s-1": 100 * (with_wind(1.0) / usual - 1),
        "change of ET0 if u2 is 3 m s-1": 100 * (with_wind(3.0) / usual - 1),
    }


def example_21(given: Given) -> Found:
    mean = given["seven-day pan evaporation sum"] / 7
    et0 = open_water.et0_from_pan(mean, given["pan coefficient"])
    return {"mean pan evaporation": mean, "ET0": et0}


def example_27(given: Given) -> Found:
    table, height = given["Kc mid table, maize"], given["crop height"]
    return {
        f"{place} Kc mid": crop.kc_for_climate(
            table, given[f"{place} u2"], given[f"{place} RHmin"], height
        )
        for place in ("Taipei", "Mocha")
    }


def example_28(given: Given) -> Found:
    lengths = [given[name] for name in ("L ini", "L dev", "L mid", "L late")]
    three = [given[name] for name in ("Kc ini", "Kc mid", "Kc end")]
    return {f"Kc on day {day}": crop.stage_course(day, lengths, *three) for day in (20, 40, 70, 95)}


def example_36(given: Given) -> Found:
    found: Found = {}
    for soil in ("loamy sand", "silt", "silty clay"):
        held = given[f"field capacity, {soil}"] - given[f"wilting point, {soil}"]
        within_reach = 1000 * held * given["root depth"]
        found |= {f"TAW, {soil}": within_reach, f"RAW, {soil}": given["p"] * within_reach}
    return found


def example_37(given: Given) -> Found:
    held = given["field capacity"] - given["wilting point"]
    within_reach = 1000 * held * given["root depth"]
    wanted = given["ET0 each day"] * given["Kc"]
    found: Found = {
        "TAW": within_reach,
        "RAW": given["p"] * within_reach,
        "ETc without stress": wanted,
    }
    # one coefficient for crop and soil, so the surface gives off nothing of its own
    tomato = soil_water.crop_days([[given["Kc"]]], given["Kc"], 1.0, [[given["p"]]])
    bed = {field.name: np.zeros((1, 1)) for field in fields(soil_water.Ground)} | {
        "available_mm": np.full((1, 1), within_reach),
        "readily_evaporable_mm": np.full((1, 1), 5.0),
        "total_evaporable_mm": np.full((1, 1), 10.0),
        "runoff_storage_mm": np.full((1, 1), np.inf),
        "rain_share": np.ones((1, 1)),
    }
    run = soil_water.soil_water_run(
        np.zeros((1, 10)),
        np.full((1, 10), given["ET0 each day"]),
        tomato,
        soil_water.Ground(**bed),
        0,
        10,
        start_share=1 - given["depletion at start of day 1"] / within_reach,
        fraction_follows_etc=False,
        keep_days=True,
    )
    for name, what in (("Ks day", "stress"), ("depletion at end of day", "depletion")):
        of_days = run.by_day[what][0, 0]
        found |= {f"{name} {day}": value for day, value in enumerate(of_days, start=1)}
    return found


def annex_2(given: Given) -> Found:
    return {
        "e0(20 degC)": air.saturation_vapour_pressure(20.0),
        "delta at 20 degC": air.vapour_pressure_slope(20.0),
        "delta at 30 degC": air.vapour_pressure_slope(30.0),
        "gamma at sea level": air.psychrometric_constant(air.atmospheric_pressure(0.0)),
    }


def alice_springs(given: Given) -> Found:
    low, high, height = given["Tmin"], given["Tmax"], given["elevation"]
    ea = air.vapour_pressure_from_humidity(low, high, given["RHmax"], given["RHmin"])
    found = parts_of_a_day(given, ea, height)
    ra, day = found["Ra"], day_of_year(given)
    delta, gamma = found["delta"], found["gamma"]
    grass = et.et0_penman_monteith(low, high, ea, found["Rn"], given["u2"], gamma)
    water_kept = radiation.net_shortwave(found["Rs"], open_water.WATER_ALBEDO) - found["Rnl"]
    es = found["es"]
    return found | {
        "dr": sun.relative_distance(day),
        "solar declination": sun.declination(day),
        "sunset hour angle": sun.sunset_hour_angle(latitude(given), day),
        "Rns (albedo 0.23)": found["Rns"],
        "ET0, FAO-56": grass,
        "Hargreaves-Samani with variable coefficient": et.et0_hargreaves_by_range(low, high, ra),
        "Turc": open_water.et0_turc((low + high) / 2, found["Rs"], (71 + 25) / 2),
        "Priestley-Taylor, Rn 8.6401": open_water.evaporation_priestley_taylor(
            8.6401, delta, gamma
        ),
        "Penman open water": open_water.evaporation_open_water(
            water_kept, delta, gamma, es - ea, given["u2"]
        ),
    }


WORKED: Mapping[str, Callable[[Given], Found]] = {
    "ex01": example_1,
    "ex02": example_2,
    "ex03": example_3,
    "ex04": example_4,
    "ex05": example_5,
    "ex06": example_6,
    "ex07": example_7,
    "ex08": example_8,
    "ex09": example_9,
    "ex10": example_10,
    "ex11": example_11,
    "ex12": example_12,
    "ex13": example_13,
    "ex14": example_14,
    "ex15": example_15,
    "ex16": example_16,
    "ex17": example_17,
    "ex18": example_18,
    "ex19": example_19,
    "ex20": example_20,
    "ex21": example_21,
    "ex27": example_27,
    "ex28": example_28,
    "ex36": example_36,
    "ex37": example_37,
    "annex2": annex_2,
    "Alice": alice_springs,
}


def worked(example: str) -> Found:
    (function,) = (of for part, of in WORKED.items() if part in example.split(" 20 July")[0])
    return function(GIVEN.get(example, {}))


def test_the_table_holds_all_examples() -> None:
    assert len(PRINTED) > 190
    assert len({line["example"] for line in PRINTED}) == 30


@pytest.mark.parametrize(
    "line", PRINTED, ids=[f"{line['example'][:12]} {line['quantity']}" for line in PRINTED]
)
def test_the_printed_value_comes_out(line: dict[str, str]) -> None:
    found = worked(line["example"])[line["quantity"]]
    # A tolerance of half the last digit is met from both sides; the sum of two floats is not exact.
    assert float(found) == pytest.approx(  # type: ignore[arg-type]
        float(line["value"]), abs=float(line["tolerance"]) * (1 + 1e-9), rel=0
    )
