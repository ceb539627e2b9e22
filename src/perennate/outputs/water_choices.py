"""What could be done about water in sentences and tables: other ways of watering all beds, and
what would hold water in one."""

from collections.abc import Sequence

from perennate.outputs.screen.marks import Table
from perennate.outputs.screen.water_said import figure
from perennate.outputs.water_figures import about
from perennate.planning.plan import Plan
from perennate.planning.water.asked import USUAL_MULCH_CM
from perennate.planning.water.keeping import LOOSENED_CM, MORE_ORGANIC, Kept
from perennate.planning.water_plan import WateringWay
from perennate.terms import Text, text
from perennate.words import Units, convert, plain, say, symbol, word

AS_IT_IS, SHADE_NET = "as it is", "shade net"
"""Changes by the name that the reckoning gives them."""
_WORTH_SAYING = 0.01
"""A saving below this share of what is given is none."""


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
        word("page.water.head.own"),
    )
    rows = tuple(
        (
            word(f"page.water.way.{one.way}"),
            f"{about(convert(one.litres, 'l', units)[0]):.0f}",
            f"{one.waterings:.0f}",
            word("page.water.unknown") if one.yield_lost is None else f"{one.yield_lost:.0%}",
            word("page.water.own_way") if _is_own(one, plan) else "",
        )
        for one in plan.water.ways
    )
    return Table(word("page.water.ways_table"), head, rows)


def _is_own(one: WateringWay, plan: Plan) -> bool:
    return plan.water is not None and one.way == plan.water.watered


def kept_says(found: Sequence[Kept]) -> tuple[Text, ...]:
    """What the bed takes as it is, which change saves most of it, and what to mind with those;
    empty where nothing stands in the bed."""
    if not found:
        return ()
    now = found[0]
    said = [text("page.water.kept.now", litres=about(now.litres), times=round(now.waterings))]
    by_change = {one.change: one for one in found}
    shade = by_change.pop(SHADE_NET, None)
    best = min(by_change.values(), key=lambda one: one.litres)
    saved = now.litres - best.litres
    if saved > 0 and saved >= _WORTH_SAYING * now.litres:
        said.append(
            text(
                "page.water.kept.best",
                change=word(f"page.water.kept.best_{_code(best.change)}"),
                litres=about(saved),
                share=saved / now.litres,
                times=max(round(now.waterings - best.waterings), 0),
            )
        )
    else:
        said.append(text("page.water.kept.none"))
    if shade and now.litres > 0:
        said.append(text("page.water.kept.shade", share=1.0 - shade.litres / now.litres))
    if "mulch" in by_change:
        said.append(text("page.water.kept.mulch_cold"))
    return tuple(said)


def kept_table(found: Sequence[Kept], units: Units) -> Table:
    """A row for the bed as it is and one for each change alone."""
    litres = symbol("l", units)
    head = (
        word("page.water.head.change"),
        say(text("screen.water.head.litres", unit=litres)),
        say(text("page.water.head.saves", unit=litres)),
        word("page.water.head.saves_share"),
        word("screen.water.head.waterings"),
        word("screen.water.head.short"),
        word("screen.water.head.airless"),
    )
    now = found[0].litres if found else 0.0
    rows = tuple(
        (
            _called(one.change, units),
            figure(one.litres, "l", units),
            *_saved(one, now, units),
            plain(round(one.waterings, 1)),
            plain(one.short_days),
            plain(one.airless_days),
        )
        for one in found
    )
    return Table(word("page.water.kept_table"), head, rows)


def _saved(one: Kept, now: float, units: Units) -> tuple[str, str]:
    """Litres and share of what is given as it is; below 0 where the change takes more."""
    if one.change == AS_IT_IS or now <= 0:
        return word("page.water.kept.nothing"), word("page.water.kept.nothing")
    saved = now - one.litres
    return figure(saved, "l", units), f"{round(100.0 * saved / now) + 0:d}%"


def _called(change: str, units: Units) -> str:
    code = f"page.water.kept.{_code(change)}"
    given = {"mulch": USUAL_MULCH_CM, "loosened": LOOSENED_CM, "organic matter": MORE_ORGANIC}
    return say(text(code, amount=given.get(change, 0.0)), units=units)


def _code(change: str) -> str:
    return change.replace(" ", "_")
