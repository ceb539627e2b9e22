"""The stock: what there is of each lot, what the plan draws from it, and what is short."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from perennate.holding import lot_balance
from perennate.holding.lots import smallest_unit
from perennate.holding.model import Lot, LotMove
from perennate.planning.plan import Need
from perennate.planning.stock import lot_amount
from perennate.server.pages.sheet import Sheet, open_sheet, show

_MOST_MOVES = 8


@dataclass(frozen=True, slots=True)
class InStock:
    """A lot, its account in its own unit (`left`, None when not known) and in the unit of its
    moves, and what the plan draws from it."""

    lot: Lot
    age: int | None
    left: float | None
    balance: int | None
    move_unit: str
    moves: tuple[LotMove, ...]
    drawn: tuple[Need, ...]
    plantings: int


def stock(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    needs = _needs(sheet)
    lots = [_in_stock(sheet, lot, needs) for lot in sheet.holding.lots]
    lots.sort(key=lambda one: (one.lot.crop, one.lot.variety, one.lot.year or 0))
    short = [one for one in needs if one.to_get > 0]
    return show(
        request, sheet, "stock", "Stock", lots=lots, short=short, to_get=sheet.address("to_get")
    )


def _in_stock(sheet: Sheet, lot: Lot, needs: list[Need]) -> InStock:
    holding = sheet.holding
    moves = sorted(
        (move for move in holding.lot_moves if move.lot == lot.key),
        key=lambda move: move.day,
        reverse=True,
    )
    drawn = tuple(one for one in needs if dict(one.why.params).get("lot") == lot.key)
    planned = sheet.plan.plantings if sheet.plan else ()
    return InStock(
        lot,
        None if lot.year is None else sheet.today.year - lot.year,
        lot_amount(lot, holding),
        lot_balance(holding, lot.key),
        smallest_unit(lot),
        tuple(moves[:_MOST_MOVES]),
        drawn,
        sum(one.lot == lot.key for one in planned),
    )


def _needs(sheet: Sheet) -> list[Need]:
    """Seed and sets that the plan needs, by the day they are needed."""
    if sheet.plan is None:
        return []
    found = [one for one in sheet.plan.needs if one.kind in ("seed", "sets")]
    return sorted(found, key=lambda one: (one.by, one.key))
