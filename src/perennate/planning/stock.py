"""How much of each lot there is, in its own unit, never converted silently."""

from perennate.catalogue.model import Crop
from perennate.holding.lots import opening, smallest_unit
from perennate.holding.model import Holding, Lot

MG_PER_G = 1000


def lot_amount(lot: Lot, holding: Holding) -> float | None:
    """What is left of a lot in its own unit: what came in, and all its movements since.

    None when neither is known, or when movements are in another kind of unit.
    """
    moves = [move for move in holding.lot_moves if move.lot == lot.key]
    start = opening(lot)
    if start is None and not moves:
        return None
    if any(move.unit != smallest_unit(lot) for move in moves):
        return None
    total = (start or 0) + sum(move.change for move in moves)
    return total / MG_PER_G if lot.unit == "g" else float(total)


def least_balance(lot: Lot, holding: Holding) -> float:
    """The lowest that a lot's account has stood, in its smallest unit."""
    total = opening(lot) or 0
    least = min(total, 0)
    for move in sorted(
        (move for move in holding.lot_moves if move.lot == lot.key), key=lambda move: move.day
    ):
        total += move.change
        least = min(least, total)
    return float(least)


def seeds_in_lot(lot: Lot, crop: Crop, holding: Holding) -> float | None:
    """Seeds in a lot: counted, or weighed times the crop's seeds per gram; None if not known."""
    amount = lot_amount(lot, holding)
    if amount is None or lot.unit != "g":
        return amount
    per_gram = crop.figure("seeds_per_gram")
    return None if per_gram is None else amount * per_gram.value
