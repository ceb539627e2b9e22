"""Every kind of fault, planted in a good plan, is caught by its own check and by no other."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date

import made
import pytest

from perennate.catalogue.model import Catalogue, Hazard
from perennate.holding.model import (
    Aim,
    HandPlanting,
    Holding,
    Lot,
    LotMove,
    Record,
    WaterSource,
)
from perennate.planning.checks import CHECKS, find_faults
from perennate.planning.plan import Plan, WeekAmount
from perennate.planning.water_plan import BedSalt
from perennate.terms import text
from perennate.weather.climate import Climate
from perennate.words.say import say, templates


@dataclass
class Scene:
    """A good plan and all around it, to be spoilt in one way."""

    grown: tuple = field(default_factory=made.plantings)
    place: Holding = field(default_factory=made.holding)
    kinds: Catalogue = field(default_factory=made.catalogue)
    weather: Climate = field(default_factory=made.climate)
    spoil: Callable[[Plan], Plan] = lambda plan: plan

    def findings(self):
        plan = self.spoil(made.plan(self.grown, self.place, self.kinds, self.weather))
        return find_faults(plan, self.place, self.kinds, self.weather)


def grown(key: str, **changes: object) -> Scene:
    return Scene(grown=made.with_planting(key, **changes))


def beside(*more, **around: object) -> Scene:
    return Scene(grown=(*made.plantings(), *more), **around)


def placed(**changes: object) -> Scene:
    return Scene(place=replace(made.holding(), **changes))


def bed(key: str, **changes: object) -> Scene:
    beds = tuple(replace(b, **changes) if b.key == key else b for b in made.beds())
    return placed(beds=beds)


def lot(key: str, **changes: object) -> Scene:
    return placed(
        lots=tuple(replace(one, **changes) if one.key == key else one for one in made.lots())
    )


def crop(key: str, **changes: object) -> Scene:
    kinds = made.catalogue()
    crops = {**kinds.crops, key: replace(kinds.crops[key], **changes)}
    return Scene(kinds=replace(kinds, crops=crops))


def figure(key: str, without: tuple[str, ...] = (), **values: float) -> Scene:
    figures = dict(made.crops()[key].figures)
    figures |= {name: made.known(value, "1") for name, value in values.items()}
    return crop(key, figures={name: figures[name] for name in figures if name not in without})


def rows(*more: HandPlanting) -> Scene:
    return placed(plantings=(*made.holding().plantings, *more))


def aim(key: str, **changes: object) -> Scene:
    def spoil(plan: Plan) -> Plan:
        return replace(
            plan, aims=tuple(replace(a, **changes) if a.aim == key else a for a in plan.aims)
        )

    return Scene(spoil=spoil)


def lupin(**changes: object) -> Scene:
    item = made.planting(
        "P-lup", "lupin_white", "Bitter Pod", "L-lup", "B5", "direct", date(2027, 4, 15),
        date(2027, 4, 15), date(2027, 8, 10), date(2027, 8, 10), date(2027, 8, 20), 60, 2.0,
        aims=["A-lup"], start_m=8.0, length_m=2.0, rows=9,
    )  # fmt: skip
    place = made.holding()
    aims = (*place.aims, Aim("A-lup", "food", "lupin_white", "", 2.0, "kg", "season", None, None))
    lots = (*place.lots, Lot("L-lup", "lupin_white", "Bitter Pod", "seed", 400, "seeds", 2026,
                             0.9, date(2026, 12, 1), treated=False))  # fmt: skip

    def spoil(plan: Plan) -> Plan:
        got = replace(plan.aims[0], aim="A-lup", crop="lupin_white", wanted=2.0,
                      expected=made.known(2.0, "kg"))  # fmt: skip
        return replace(plan, aims=(*plan.aims, got))

    around = {"aims": aims, "lots": lots, **changes}
    return beside(item, place=replace(place, **around), spoil=spoil)


RADISH = made.planting(
    "P-rad", "radish", "Quick Coal", "", "B5", "direct", date(2027, 4, 15), date(2027, 4, 15),
    date(2027, 6, 1), date(2027, 6, 10), date(2027, 6, 14), 300, 3.0, start_m=8.0, length_m=2.0,
    rows=15,
)  # fmt: skip
ONION = made.planting(
    "P-on", "onion_bulb", "Brass Ring", "", "B5", "direct", date(2027, 4, 10), date(2027, 4, 10),
    date(2027, 8, 10), date(2027, 8, 10), date(2027, 8, 20), 200, 5.0, start_m=8.0, length_m=2.0,
    rows=12,
)  # fmt: skip
OLD_CABBAGE = HandPlanting(
    "H9", "past", "cabbage", "", "B3", date(2025, 4, 1), date(2025, 5, 1), date(2025, 9, 1)
)


def sick(bed_key: str, disease: str, *more, history: tuple[HandPlanting, ...] = ()) -> Scene:
    beds = tuple(
        replace(one, diseases=(disease,)) if one.key == bed_key else one for one in made.beds()
    )
    return beside(*more, place=replace(made.holding(), beds=beds, plantings=history))


def manured(kind: str, *hazards: Hazard) -> Scene:
    record = Record("R1", date(2027, 4, 1), kind, "", "B2", 20.0, "kg", None)
    return Scene(
        place=replace(made.holding(), records=(record,)),
        kinds=replace(made.catalogue(), material_hazards=hazards),
    )


WASTE = Hazard(
    "waste", "human_waste", "whole", "parasites", "never on food beds", "everyone", "food", None,
    "health department", "made", "memory",
)  # fmt: skip


COMFREY = Hazard(
    "liver", "carrot", "whole plant", "harms the liver", "none", "everyone", "food", None,
    "physician", "made", "memory",
)  # fmt: skip

MOVES = tuple(
    LotMove("L-car", day, change, "mg")
    for day, change in ((date(2027, 1, 1), -25000), (date(2027, 1, 9), 30000))
)

TAP = WaterSource(
    "tap", "mains", ec_ds_m=0.6, ph=7.2, sodium_mg_l=20.0, calcium_mg_l=70.0, magnesium_mg_l=12.0,
    chloride_mg_l=30.0, bicarbonate_mg_l=80.0, boron_mg_l=0.1, nitrate_n_mg_l=2.0, iron_mg_l=0.05,
    free_chlorine_mg_l=0.3, chloramine_mg_l=0.0,
)  # fmt: skip


def wet(
    source: WaterSource = TAP, way: str = "drip", limit: float | None = None, **changes: object
) -> Scene:
    """The good plan with its water: beds fed by a tap through drip lines, nothing lacking."""
    place = made.holding()
    beds = tuple(replace(bed, source=source.key, watering=way) for bed in place.beds)
    limits = replace(place.limits, water_l=limit)
    place = replace(place, beds=beds, limits=limits, water_sources=(source,))

    def spoil(plan: Plan) -> Plan:
        return replace(plan, water=made.water(plan, source, **changes))

    return Scene(place=place, spoil=spoil)


def water_of(key: str, **changes: object) -> Scene:
    return wet(rows={key: changes})


def tap(way: str = "drip", **changes: object) -> Scene:
    return wet(replace(TAP, **changes), way)


def fresher() -> Scene:
    """A bed that salts, fed by water of 0.69 dS/m, with rain at hand."""
    salty = replace(TAP, ec_ds_m=0.69)
    scene = wet(salty, salts=(BedSalt("B2", "tap", 0.5, False, (1.0, 2.4), (1.2, 2.8),
                                      (("carrot", 0.2),), False),))  # fmt: skip
    rain = WaterSource("butt", "roof", tank_l=1000.0, roof_m2=20.0)
    return replace(scene, place=replace(scene.place, water_sources=(salty, rain)))


def test_how_much_fresher_water_to_mix_in_is_told() -> None:
    (found,) = fresher().findings()
    given = dict(found.remedy.params)
    assert given["other"] == "butt"
    # carrot bears 1.0 dS/m: water of 1.0 / 1.5, from 0.69 and rain of 0.05
    assert given["share"] == pytest.approx((0.69 - 1.0 / 1.5) / (0.69 - 0.05))


FAULTS: dict[str, Scene] = {
    "crop.unknown": beside(replace(RADISH, crop="moonroot")),
    "bed.unknown": grown("P-cab", bed="B9"),
    "bed.overfull": grown("P-pot", bed="B5", start_m=0.0),
    "bed.beyond_end": grown("P-bean", start_m=3.0),
    "bed.kept_free": bed("B2", free_from=date(2027, 6, 1), free_to=date(2027, 7, 1)),
    "bed.least_piece": grown("P-bean", length_m=0.8, plants=40),
    "bed.rows": grown("P-cab", plants=120),
    "bed.light": bed("B1", light="half shade"),
    "spacing.close": grown("P-tom", spacing_cm=40.0),
    "spacing.tight": grown("P-tom", spacing_cm=30.0),
    "frost.risk": figure("cabbage", kill_vegetative=6.5),
    "frost.unknown": figure("carrot", without=("kill_seedling", "kill_vegetative")),
    "season.short": grown(
        "P-tom", first_harvest=date(2027, 11, 25), last_harvest=date(2028, 1, 10),
        ground_to=date(2028, 1, 20),
    ),
    "season.beyond": grown(
        "P-cab", first_harvest=date(2028, 3, 5), last_harvest=date(2028, 3, 5),
        ground_to=date(2028, 3, 20),
    ),
    "heat.risk": figure("tomato", heat_day=22.0),
    "soil.cold": figure("carrot", soil_temp_sow_min=14.0),
    "chain.late": grown("P-tom", sow=date(2027, 2, 25)),
    "rotation.family": rows(replace(OLD_CABBAGE, start_m=2.0, length_m=3.0)),
    "rotation.disease": sick(
        "B3", "club root", history=(replace(OLD_CABBAGE, ground_from=date(2021, 5, 1),
                                            ground_to=date(2021, 9, 1)),)
    ),
    "rotation.disease_since_unknown": sick("B3", "Clubroot"),
    "rotation.no_cure": sick("B5", "white rot", ONION),
    "rotation.disease_unknown": bed("B2", diseases=("blue wilt",)),
    "lot.below_zero": placed(lot_moves=MOVES),
    "seed.short": lot("L-cab", amount=60),
    "seed.unknown": lot("L-cab", amount=None),
    "lot.old": lot("L-car", year=2020, tested=None),
    "lot.germination_low": lot("L-cab", germination=0.5),
    "seed.treated": lot("L-bean", treated=True),
    "seed.treatment_unknown": lupin(
        processes=("lupin_white",),
        lots=(*made.lots(), Lot("L-lup", "lupin_white", "Bitter Pod", "seed", 400, "seeds", 2026,
                                0.9, date(2026, 12, 1), treated=None)),
    ),
    "bench.overfull": placed(nursery=replace(made.holding().nursery, bench_m2=0.3)),
    "hours.overfull": placed(limits=replace(made.holding().limits, hours_per_week=2.0)),
    "compost.short": placed(limits=replace(made.holding().limits, compost_l=200.0)),
    "water.source_short": wet(served=0.8),
    "water.source_small_tank": wet(served=0.8, tank_l=4000.0),
    "water.beyond_limit": wet(limit=30_000.0),
    "water.beyond_limit_dry": wet(limit=45_000.0),
    "water.thirsty": water_of("P-pot", yield_left=0.8, short_days=20.0),
    "water.airless": water_of("P-cab", airless_years=0.3, airless_days=6.0),
    "water.airless_pan": replace(
        water_of("P-cab", airless_years=0.6, airless_days=9.0), place=replace(
            wet().place,
            beds=tuple(replace(b, pan_cm=25.0) for b in wet().place.beds),
        )
    ),
    "water.germs": wet(replace(TAP, kind="surface"), "can"),
    "water.not_analysed": wet(WaterSource("ditch", "surface")),
    "water.salt": wet(salts=(BedSalt("B2", "tap", 0.5, False, (1.0, 2.4), (1.2, 2.8),
                                     (("carrot", 0.2),), False),)),
    "water.salt_mix": fresher(),
    "water.class.salinity": tap(ec_ds_m=1.4),
    "water.class.infiltration": tap("sprinkler", sar_adjusted=5.0),
    "water.class.sodium": tap("sprinkler", sodium_mg_l=80.0),
    "water.class.chloride": tap(chloride_mg_l=180.0),
    "water.class.boron": tap(boron_mg_l=1.2),
    "water.class.boron_borne": tap(boron_mg_l=0.75),
    "water.class.nitrate": tap(nitrate_n_mg_l=12.0),
    "water.class.bicarbonate": tap("sprinkler", bicarbonate_mg_l=240.0),
    "water.class.residual_carbonate": tap(bicarbonate_mg_l=360.0),
    "water.class.ph": tap(ph=9.0),
    "water.class.iron": tap(iron_mg_l=0.8),
    "water.class.chlorine": tap("sprinkler", free_chlorine_mg_l=4.0),
    "hazard.processing": lupin(),
    "hazard.food": crop("carrot", hazards=(COMFREY,)),
    "hazard.material": manured("human waste", WASTE),
    "manure.wait": manured("raw manure"),
    "eating.ceiling": aim("A-tom", by_week=(WeekAmount(date(2027, 8, 2), 25.0),)),
    "aim.unmet": aim("A-car", met=0.4, held_back_by=(text("held.ground"),)),
    "aim.not_borne_out": aim("A-car", expected=made.known(90.0, "kg")),
    "aim.not_in_plan": placed(
        aims=(*made.holding().aims,
              Aim("A-new", "food", "carrot", "", 5.0, "kg", "season", None, None))
    ),
    "aim.gone": placed(aims=made.holding().aims[:1]),
    "aim.other": aim("A-car", kind="seed"),
    "aim.other_amount": aim("A-car", wanted=20.0),
    "hand.fixed_lost": rows(HandPlanting("F1", "fixed", "carrot", "Long Lantern", "B2",
                                         date(2027, 4, 11), None, None)),
    "hand.stands_lost": rows(HandPlanting("S1", "stands", "radish", "", "B2", date(2027, 1, 20),
                                          date(2027, 1, 20), date(2027, 4, 1))),
    "hand.wished_left": rows(HandPlanting("W1", "wished", "radish", "", "", None, None, None)),
    "hand.refused": rows(HandPlanting("N1", "refused", "potato", "", "B4", None, None, None)),
    "kinds.many": placed(habits=replace(made.holding().habits, most_kinds_at_once=3)),
}  # fmt: skip


@pytest.mark.parametrize("scene", [Scene(), wet(), wet(way="sprinkler")])
def test_a_good_plan_has_no_finding(scene: Scene) -> None:
    assert scene.findings() == ()


def test_very_pure_rain_is_no_finding_where_the_ground_holds_no_sodium() -> None:
    rain = WaterSource("butt", "roof", ec_ds_m=0.03, sodium_mg_l=1.0, calcium_mg_l=1.0,
                       magnesium_mg_l=0.2, bicarbonate_mg_l=3.0)  # fmt: skip
    assert wet(rain).findings() == ()


@pytest.mark.parametrize("rule", FAULTS)
def test_a_planted_fault_is_caught_by_its_own_check_alone(rule: str) -> None:
    found = FAULTS[rule].findings()
    assert {finding.rule for finding in found} == {rule}


@pytest.mark.parametrize("rule", FAULTS)
def test_a_finding_says_figures_remedy_and_source_in_words(rule: str) -> None:
    for finding in FAULTS[rule].findings():
        assert "{" not in say(finding.text) + say(finding.remedy)
        assert finding.source


def test_every_rule_has_a_fault_planted_for_it() -> None:
    said = {
        code.removeprefix("check.")
        for code in templates()
        if code.startswith("check.") and not code.endswith(".remedy")
    }
    assert said == set(FAULTS)
    assert len(CHECKS) <= len(FAULTS)


def test_the_gravest_come_first_and_the_order_does_not_depend_on_rows() -> None:
    scene = placed(
        limits=replace(made.holding().limits, compost_l=200.0, hours_per_week=2.0),
        nursery=replace(made.holding().nursery, bench_m2=0.3),
    )
    found = scene.findings()
    order = ["grave", "mind", "note"]
    assert [f.gravity for f in found] == sorted((f.gravity for f in found), key=order.index)
    turned = replace(scene, grown=scene.grown[::-1])
    assert [f.text for f in turned.findings()] == [f.text for f in found]
