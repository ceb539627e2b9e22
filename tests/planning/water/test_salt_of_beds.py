"""Well water salts a bed where nothing leaches it, and does not where rain does."""

from dataclasses import replace

import pytest
import wet

from perennate.holding.model import WaterSource
from perennate.planning.water_plan import WaterPlan

WELL = WaterSource("well", "well", ec_ds_m=2.0)
DESERT, RAINY = wet.climate(0.0, warm=24.0), wet.climate(20.0)


def salted(source: WaterSource, weather, **bed: object) -> WaterPlan:
    ground = wet.bed(source=source.key, **bed)
    return wet.water("bean_snap_bush", weather, wet.holding((ground,), (source,)))


def test_salty_well_water_salts_a_bed_in_a_desert() -> None:
    (salt,) = salted(WELL, DESERT).salts
    assert salt.ece[-1] > salt.ece[0] > salt.start_ece
    assert salt.ece[-1] > 3.0
    assert not salt.leached_by_rain
    ((crop, lost),) = salt.losses
    assert crop == "bean_snap_bush"
    assert lost > 0.4


def test_the_same_water_does_no_harm_where_rain_leaches() -> None:
    (salt,) = salted(WELL, RAINY).salts
    assert salt.leached_by_rain
    assert salt.ece[-1] < 1.0
    assert salt.ece[-1] == pytest.approx(salt.ece[-2], abs=0.2), "it has come to rest"


def test_a_greenhouse_keeps_the_rain_out_and_the_salt_in() -> None:
    (opened,) = salted(WELL, RAINY).salts
    (house,) = salted(WELL, RAINY, cover="greenhouse").salts
    assert house.ece[-1] > 3 * opened.ece[-1]
    assert not house.leached_by_rain


def test_a_measured_bed_starts_from_its_own_salt_and_rain_takes_it_down() -> None:
    (salt,) = salted(replace(WELL, ec_ds_m=0.3), RAINY, ece_ds_m=4.0).salts
    assert salt.start_known
    assert salt.start_ece == 4.0
    assert salt.ece[-1] < salt.ece[0] < 4.0


def test_of_water_that_nobody_analysed_nothing_is_said() -> None:
    assert salted(WaterSource("ditch", "surface"), DESERT).salts == ()
    (row,) = salted(WaterSource("ditch", "surface"), DESERT).plantings
    assert row.salt_left is None


def test_rain_from_a_roof_salts_nothing() -> None:
    (salt,) = salted(WaterSource("butt", "roof", tank_l=9000.0, roof_m2=90.0), RAINY).salts
    assert max(salt.ece[1:]) < 0.3
