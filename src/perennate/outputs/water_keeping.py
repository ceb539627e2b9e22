"""What would hold water in a bed, in sentences and a table."""

from collections.abc import Sequence

from perennate.outputs.screen.marks import Table
from perennate.outputs.screen.water_said import figure
from perennate.outputs.water_figures import about
from perennate.planning.water.asked import USUAL_MULCH_CM
from perennate.planning.water.keeping import LOOSENED_CM, MORE_ORGANIC, Kept
from perennate.terms import Text, text
from perennate.words import Units, plain, say, symbol, word

AS_IT_IS, SHADE_NET = "as it is", "shade net"
"""Changes by the name that the reckoning gives them."""
_WORTH_SAYING = 0.01
"""A saving below this share of what is given is none."""


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
