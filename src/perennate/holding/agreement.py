"""Whether the tables of a holding agree with each other and with themselves."""

from collections.abc import Callable, Iterator, Mapping

from perennate.catalogue.figures import FIGURES
from perennate.holding.cells import nearest
from perennate.holding.lots import first_overdraft, smallest_unit
from perennate.holding.model import Aim, Bed, HandPlanting, Lot, LotMove, Person
from perennate.holding.rows import Row, Table
from perennate.holding.water_faults import Fault, ground_faults, source_faults
from perennate.terms import Problem

PLACES = ("nursery", "store", "holding")
"""Words that a record may give as its place beside the keys of beds, trees, limbs and so on."""

LONGEST_KEY = 100
_TABLE_OF_PLACE = ("beds", "water_sources", "trees", "limbs", "lots", "plantings")
_ROUNDING_M = 1e-6


def table_problems(tables: Mapping[str, Table]) -> list[Problem]:
    """Everything in rows, well read each by itself, that cannot be together."""
    problems = [*_references(tables), *_places(tables), *_keys(tables)]
    for name, check in _CHECKS.items():
        if name in tables:
            table = tables[name]
            for row in table.rows:
                if row.whole:
                    problems += [
                        Problem(table.file, row.number, column, found, expected)
                        for column, found, expected in check(row)
                    ]
    return problems


def _references(tables: Mapping[str, Table]) -> Iterator[Problem]:
    """Every cell that must name a row of another table does."""
    for table in tables.values():
        for field in table.schema.fields:
            if field.refers_to in ("", "crops"):
                continue
            other = tables.get(field.refers_to)
            if other is not None and not other.usable:
                continue
            keys = other.keys() if other is not None else frozenset()
            for row in table.rows:
                value = row.values.get(field.name)
                for name in value if isinstance(value, tuple) else (value,):
                    if isinstance(name, str) and name not in keys:
                        yield Problem(
                            table.file,
                            row.number,
                            field.name,
                            f'"{name}"',
                            f"a key of the table {field.refers_to}{_guess(name, keys)}",
                        )


def _keys(tables: Mapping[str, Table]) -> Iterator[Problem]:
    """Every key can stand in an address, in which . and .. would lead elsewhere."""
    for table in tables.values():
        for row in table.rows if table.schema.keyed else ():
            key = row.text("key")
            if {".", ".."} & set(key.split("/")):
                expected = "a name in which . or .. does not stand by itself"
                yield Problem(table.file, row.number, "key", f'"{key}"', expected)
            if len(key) > LONGEST_KEY:
                found = f"{len(key)} letters"
                expected = f"a short name, of up to {LONGEST_KEY} letters"
                yield Problem(table.file, row.number, "key", found, expected)


def _places(tables: Mapping[str, Table]) -> Iterator[Problem]:
    records = tables.get("records")
    others = [tables[name] for name in _TABLE_OF_PLACE if name in tables]
    if records is None or not all(other.usable for other in others):
        return
    known = frozenset(PLACES).union(*(other.keys() for other in others))
    for row in records.rows:
        place = row.text("place")
        if place and place not in known:
            expected = (
                f"a bed, water source, tree, limb, lot or planting, or one of {', '.join(PLACES)}"
            )
            expected += _guess(place, known)
            yield Problem(records.file, row.number, "place", f'"{place}"', expected)


def _guess(name: str, keys: frozenset[str]) -> str:
    near = nearest(name, keys, 0.5)
    return f"; did you mean {' or '.join(near)}?" if near else ""


def _aim(row: Row) -> Iterator[Fault]:
    kind = row.text("kind")
    if kind in ("food", "sell", "seed") and not row.text("crop"):
        yield "crop", "nothing", f"a crop, as the aim is of kind {kind}"
    if kind == "household":
        if row.text("crop"):
            yield "crop", f'"{row.text("crop")}"', "nothing, as a household eats many crops"
        amount = row.values.get("amount")
        if isinstance(amount, float) and amount > 1:
            yield "amount", f'"{amount:g}"', "a share from 0 to 1, or up to 100 %"
    if kind == "sell" and row.values.get("end") is None:
        yield "end", "nothing", "the day on which the plants must be ready"


def _place(row: Row) -> Iterator[Fault]:
    key = row.text("key")
    if key.casefold() in PLACES:
        yield "key", f'"{key}"', f"another name, as {', '.join(PLACES)} are places already"


def _bed(row: Row) -> Iterator[Fault]:
    yield from _place(row)
    yield from ground_faults(row)


def _water_source(row: Row) -> Iterator[Fault]:
    yield from _place(row)
    yield from source_faults(row)


_NEEDED_BY_HAND = {
    "stands": ("crop",),
    "past": ("crop", "bed", "ground_from"),
    "fixed": ("crop", "bed", "ground_from"),
    "wished": ("crop",),
    "refused": (),
}


def _planting(row: Row) -> Iterator[Fault]:
    hand = row.text("hand")
    for name in _NEEDED_BY_HAND.get(hand, ()):
        if row.values.get(name) is None:
            yield name, "nothing", f"this, as the planting is {hand}"
    if hand == "stands" and row.values.get("ground_from") is None:
        if row.values.get("sown") is None:
            yield "sown", "nothing", "the day of sowing or the first day in the bed"
    elif hand == "stands" and not row.text("bed"):
        yield "bed", "nothing", "the bed in which it stands"
    narrowed = ("crop", "variety", "bed", "ground_from", "ground_to")
    if hand == "refused" and all(row.values.get(name) is None for name in narrowed):
        yield "crop", "nothing", "a crop, a bed or days, or everything would be refused"
    if row.values.get("start_m") is not None and not row.text("bed"):
        yield "bed", "nothing", "the bed in which start_m is measured"


def _lot(row: Row) -> Iterator[Fault]:
    amount, unit = row.values.get("amount"), row.text("unit")
    if isinstance(amount, float) and unit != "g" and not amount.is_integer():
        yield "amount", f'"{amount:g}"', f"a whole number of {unit}"


def _own_value(row: Row) -> Iterator[Fault]:
    figure, unit = row.text("figure"), row.text("unit")
    if figure not in FIGURES:
        expected = f"the name of a figure of the catalogue{_guess(figure, frozenset(FIGURES))}"
        yield "figure", f'"{figure}"', expected
    elif unit != FIGURES[figure]:
        yield "unit", f'"{unit}"', f"{FIGURES[figure]}, the unit of {figure} in the catalogue"


_CHECKS: Mapping[str, Callable[[Row], Iterator[Fault]]] = {
    "beds": _bed,
    "water_sources": _water_source,
    "trees": _place,
    "aims": _aim,
    "plantings": _planting,
    "lots": _lot,
    "own_values": _own_value,
}


def planting_problems(
    file: str, plantings: Mapping[int, HandPlanting], beds: Mapping[str, Bed]
) -> list[Problem]:
    """Plantings, by their row, that lie beyond the end of their bed."""
    problems: list[Problem] = []
    for row, planting in plantings.items():
        bed = beds.get(planting.bed)
        if bed is None:
            continue
        start, length = planting.start_m or 0.0, planting.length_m or 0.0
        if start + length > bed.length_m + _ROUNDING_M or (
            planting.start_m is not None and start >= bed.length_m
        ):
            column = "start_m" if planting.length_m is None else "length_m"
            found = f"{start:g} m to {start + length:g} m along the bed {bed.key}"
            expected = f"a place within its {bed.length_m:g} m"
            problems.append(Problem(file, row, column, found, expected))
    return problems


def household_problems(
    file: str, aims: Mapping[int, Aim], people: tuple[Person, ...]
) -> list[Problem]:
    """Aims for a household, by their row, where it is not said who is in it."""
    expected = "a part [[people]] in the settings for each person, so that their needs are known"
    return [
        Problem(file, row, "kind", '"household", but no people', expected)
        for row, aim in aims.items()
        if aim.kind == "household" and not people
    ]


def account_problems(
    file: str, moves: Mapping[int, LotMove], lots: Mapping[str, Lot]
) -> list[Problem]:
    """Moves, by their row, in another unit than their lot's or that take more than there is."""
    problems: list[Problem] = []
    for lot in lots.values():
        own = {row: move for row, move in moves.items() if move.lot == lot.key}
        unit = smallest_unit(lot)
        wrong = {row: move for row, move in own.items() if move.unit != unit}
        for row, move in wrong.items():
            expected = f"{unit}, as the lot {lot.key} is kept in {lot.unit}"
            problems.append(Problem(file, row, "unit", f'"{move.unit}"', expected))
        over = None if wrong else first_overdraft(lot, own.values())
        if over is not None:
            move, left = over
            row = next(row for row, other in own.items() if other is move)
            found = f'"{move.change}", which leaves {left} {unit} in the lot {lot.key}'
            expected = f"at most {left - move.change} {unit} taken out"
            problems.append(Problem(file, row, "change", found, expected))
    return problems
