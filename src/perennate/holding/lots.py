"""The account of a lot: what came in, what went out, what is left, in whole numbers."""

from collections.abc import Iterable

from perennate.holding.model import Holding, Lot, LotMove

_SMALLEST = {"g": "mg", "seeds": "seeds", "pieces": "pieces"}


def smallest_unit(lot: Lot) -> str:
    """The unit that the lot's account is kept in: milligrams, seeds or pieces."""
    return _SMALLEST[lot.unit]


def opening(lot: Lot) -> int | None:
    """What there was when the lot came in, in its smallest unit; None when it is not stated."""
    if lot.amount is None:
        return None
    return round(lot.amount * 1000) if lot.unit == "g" else round(lot.amount)


def lot_balance(holding: Holding, lot_key: str) -> int | None:
    """What is left of a lot, in milligrams, seeds or pieces (see `smallest_unit`).

    The amount stated for the lot plus all its moves. None when there is neither, so that nothing
    is known. Raises KeyError when there is no such lot and ValueError when more went out than
    came in or a move is in another unit, which the reader of a holding refuses.
    """
    lot = next((lot for lot in holding.lots if lot.key == lot_key), None)
    if lot is None:
        raise KeyError(f"no lot {lot_key}")
    moves = [move for move in holding.lot_moves if move.lot == lot_key]
    if any(move.unit != smallest_unit(lot) for move in moves):
        raise ValueError(f"lot {lot_key} is kept in {smallest_unit(lot)}")
    start = opening(lot)
    if start is None and not moves:
        return None
    left = (start or 0) + sum(move.change for move in moves)
    if left < 0:
        raise ValueError(
            f"{-left} {smallest_unit(lot)} more of lot {lot_key} went out than came in"
        )
    return left


def first_overdraft(lot: Lot, moves: Iterable[LotMove]) -> tuple[LotMove, int] | None:
    """The first move that takes the account below zero and what it then stands at, or None.

    Moves count in order of their days; within a day what comes in counts first.
    """
    left = opening(lot) or 0
    for move in sorted(moves, key=lambda move: (move.day, move.change < 0)):
        left += move.change
        if left < 0:
            return move, left
    return None
