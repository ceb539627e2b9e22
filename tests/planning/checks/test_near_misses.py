"""What only looks like a fault is not called one, and what no time cures always is."""

from dataclasses import replace
from datetime import date

import made

from perennate.holding.model import HandPlanting
from perennate.planning.checks import find_faults


def rules(grown=None, **place):
    where = replace(made.holding(), **place)
    kinds, weather = made.catalogue(), made.climate()
    return [f.rule for f in find_faults(made.plan(grown, where), where, kinds, weather)]


def test_a_family_on_other_metres_of_the_bed_needs_no_rest() -> None:
    cabbage = made.with_planting("P-cab", start_m=0.0, length_m=4.0, plants=24)
    history = HandPlanting("H", "past", "radish", "", "B3", date(2026, 4, 1), date(2026, 4, 1),
                           date(2026, 6, 1), 5.0, 5.0)  # fmt: skip
    assert rules(cabbage, plantings=(history,)) == []
    assert rules(cabbage, plantings=(replace(history, start_m=3.5),)) == ["rotation.family"]
    assert rules(cabbage, plantings=(replace(history, start_m=None, length_m=None),)) == [
        "rotation.family"
    ]


def test_a_family_may_come_back_once_its_rest_is_over_to_the_day() -> None:
    """Four years, 1461 days, before 5 May 2027."""
    history = HandPlanting("H", "past", "cabbage", "", "B3", None, date(2022, 5, 1),
                           date(2023, 5, 5), 0.0, 10.0)  # fmt: skip
    assert rules(plantings=(history,)) == []
    assert rules(plantings=(replace(history, ground_to=date(2023, 5, 9)),)) == ["rotation.family"]


def test_ground_cleared_in_the_morning_may_be_planted_on_the_same_day() -> None:
    bean = made.plantings()[4]
    after = replace(made.plantings()[1], key="P-car2", bed="B5", length_m=8.0, plants=1900,
                    sow=bean.ground_to, ground_from=bean.ground_to, first_harvest=None,
                    last_harvest=None, by_week=(), ground_to=date(2027, 12, 1), lot="")  # fmt: skip
    assert rules((*made.plantings(), after)) == []
    sooner = replace(after, sow=date(2027, 8, 31), ground_from=date(2027, 8, 31))
    assert rules((*made.plantings(), sooner)) == ["bed.overfull"]


def test_no_gap_of_years_cures_what_rotation_does_not_cure() -> None:
    onion = made.planting(
        "P-on", "onion_bulb", "Brass Ring", "", "B5", "direct", date(2027, 4, 10),
        date(2027, 4, 10), date(2027, 8, 10), date(2027, 8, 10), date(2027, 8, 20), 200, 5.0,
        start_m=8.0, length_m=2.0, rows=12,
    )  # fmt: skip
    sick = tuple(
        replace(bed, diseases=("white rot",)) if bed.key == "B5" else bed for bed in made.beds()
    )
    long_ago = HandPlanting("H", "past", "onion_bulb", "", "B5", None, date(1990, 4, 1),
                            date(1990, 9, 1))  # fmt: skip
    assert rules((*made.plantings(), onion), beds=sick, plantings=(long_ago,)) == [
        "rotation.no_cure"
    ]
    assert rules(beds=sick) == []


def test_a_disease_past_its_years_is_no_fault() -> None:
    sick = tuple(
        replace(bed, diseases=("club root",)) if bed.key == "B3" else bed for bed in made.beds()
    )
    host = HandPlanting("H", "past", "radish", "", "B3", None, date(2020, 3, 1), date(2020, 5, 1))
    assert rules(beds=sick, plantings=(host,)) == []
    later = replace(host, ground_to=date(2020, 5, 20))
    assert rules(beds=sick, plantings=(later,)) == ["rotation.disease"]


def test_a_refusal_and_a_bed_kept_free_hold_for_their_days_only() -> None:
    no = HandPlanting("N", "refused", "potato", "", "", None, date(2027, 9, 1), None)
    assert rules(plantings=(no,)) == []
    free = tuple(
        replace(bed, free_from=date(2027, 9, 11), free_to=date(2027, 12, 1))
        if bed.key == "B2"
        else bed
        for bed in made.beds()
    )
    assert rules(beds=free) == []


def test_a_fixed_row_kept_just_so_is_no_finding() -> None:
    carrot = made.plantings()[1]
    row = HandPlanting("F", "fixed", "carrot", carrot.variety, "B2", carrot.sow,
                       carrot.ground_from, carrot.ground_to, 0.0, 10.0, carrot.plants)  # fmt: skip
    assert rules(plantings=(row,)) == []
    assert rules(plantings=(row, replace(row, key="F2"))) == ["hand.fixed_lost"]


def test_what_stands_is_not_blamed_for_its_place() -> None:
    standing = made.with_planting("P-tom", status="stands", sow=date(2027, 2, 1))
    shade = tuple(
        replace(bed, light="half shade") if bed.key == "B1" else bed for bed in made.beds()
    )
    assert rules(standing, beds=shade) == []


def test_no_limit_set_is_no_limit_broken() -> None:
    limits = replace(made.holding().limits, hours_per_week=None, compost_l=None)
    assert rules(limits=limits) == []
