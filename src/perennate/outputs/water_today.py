"""What is said of the beds' water today, the pressing first and the rest in one line."""

from collections.abc import Sequence

from perennate.planning.water.today import BedToday
from perennate.terms import Text, text

MOST_NOW, MOST_LATER = 6, 3
"""Beds that want water, and those that can wait a little, are told one by one up to so many."""


NONE_DUE = text("water.today.none_due")


def today_says(found: Sequence[BedToday], bed: str = "") -> list[Text]:
    """Lines for today, of the bed given or of all: first what it rests on where that is not
    readings; then beds without air, beds that want water now, those that come next, and how many
    have enough."""
    if bed:
        found = [one for one in found if one.bed == bed]
    if not found:
        return []
    airless = [one for one in found if one.airless]
    now = [one for one in found if one.text.code == "water.today.now"]
    later = [one for one in found if one.text.code == "water.today.later"]
    enough = [one for one in found if one.text.code == "water.today.enough"]
    says = [one.text for one in (*airless, *now[:MOST_NOW])]
    if now[MOST_NOW:]:
        rest = now[MOST_NOW:]
        beds = ", ".join(one.bed for one in rest)
        litres = float(f"{sum(one.litres for one in rest):.3g}")
        says.append(text("water.today.more_now", count=len(rest), litres=litres, beds=beds))
    says += [one.text for one in later[:MOST_LATER]]
    if later[MOST_LATER:]:
        says.append(text("water.today.more_later", count=len(later[MOST_LATER:])))
    if enough:
        says += [one.text for one in enough] if bed else [_enough(enough)]
    given = dict(found[0].text.params)
    return says if given["read"] else [text("water.today.unread"), *says]


def due_now(found: Sequence[BedToday]) -> tuple[BedToday, ...]:
    """Beds that want water today."""
    return tuple(one for one in found if one.text.code == "water.today.now")


def now_says(found: Sequence[BedToday]) -> Text | None:
    """One line for a page of other things; None where nothing stands."""
    if not found:
        return None
    due, airless = due_now(found), sum(one.airless for one in found)
    litres = float(f"{sum(one.litres for one in due):.3g}")
    if not due:
        return text("water.today.none_due_wet", airless=airless) if airless else NONE_DUE
    if airless:
        return text("water.today.due_wet", count=len(due), litres=litres, airless=airless)
    return text("water.today.due", count=len(due), litres=litres)


def _enough(found: Sequence[BedToday]) -> Text:
    ahead = dict(found[0].text.params)["ahead"]
    return text("water.today.rest", count=len(found), ahead=ahead)
