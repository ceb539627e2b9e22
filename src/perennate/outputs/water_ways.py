"""What other ways of watering all beds would take and cost, in a sentence and a table."""

from perennate.outputs.screen.marks import Table
from perennate.outputs.water_figures import about
from perennate.planning.plan import Plan
from perennate.planning.water_plan import WateringWay
from perennate.terms import Text, text
from perennate.words import convert, say, symbol, word


def ways_says(plan: Plan) -> Text | None:
    """What the way next to the holding's own would save or take, and what it would cost or bring
    back; None where the plan tells of no other way."""
    ways = plan.water.ways if plan.water else ()
    place = next((i for i, one in enumerate(ways) if plan.water and _is_own(one, plan)), None)
    if place is None or len(ways) < 2:
        return None
    own, other = ways[place], ways[1 if place == 0 else place - 1]
    code = "less" if place == 0 else "more"
    way = word(f"page.water.way.{other.way}")
    litres = abs(own.litres - other.litres)
    if own.yield_lost is None or other.yield_lost is None:
        return text(f"page.water.ways.{code}_unknown", way=way, litres=about(litres))
    lost = abs(other.yield_lost - own.yield_lost)
    return text(f"page.water.ways.{code}", way=way, litres=about(litres), lost=lost)


def ways_table(plan: Plan) -> Table | None:
    """A row for each way of watering, the holding's own marked; None where there are none."""
    if plan.water is None or not plan.water.ways:
        return None
    units = plan.holding.units
    head = (
        word("page.water.head.way"),
        say(text("screen.water.head.litres", unit=symbol("l", units))),
        word("screen.water.head.waterings"),
        word("page.water.head.lost"),
    )
    rows = tuple(
        (
            _way(one, plan),
            f"{about(convert(one.litres, 'l', units)[0]):.0f}",
            f"{one.waterings:.0f}",
            word("page.water.unknown") if one.yield_lost is None else f"{one.yield_lost:.0%}",
        )
        for one in plan.water.ways
    )
    return Table(word("page.water.ways_table"), head, rows)


def _way(one: WateringWay, plan: Plan) -> str:
    way = word(f"page.water.way.{one.way}")
    return say(text("page.water.own_way", way=way)) if _is_own(one, plan) else way


def _is_own(one: WateringWay, plan: Plan) -> bool:
    return plan.water is not None and one.way == plan.water.watered
