"""The key plan: the holding small and to scale, every bed, tree and bench a link."""

from collections.abc import Sequence
from dataclasses import dataclass

from perennate.holding.model import Bed, Tree
from perennate.outputs.drawing import corners, runs_north
from perennate.outputs.screen.marks import NURSERY, Bar, Href, Point, Table, bar_at, room_for, tenth
from perennate.terms import text
from perennate.words import Units, say, show, word

_TREE_M = 1.0
"""Radius at which a tree is drawn [m]: a sign for where it stands, not its crown."""
_MARGIN = 8.0
_FOOT = 30.0
_LEAST_TREE = 5.0
_NAMES = 10.0


@dataclass(frozen=True, slots=True)
class KeyPlace:
    """A bed, tree or bench. Beds and the bench are rectangles, trees circles of radius `w` / 2."""

    key: str
    kind: str
    x: float
    y: float
    w: float
    h: float
    radius: float
    href: str
    title: str
    """In short, for a list of places."""
    name: str
    """In full, for those who hear the page."""
    label: str
    """What fits within; empty where nothing does."""
    label_x: float
    label_y: float
    label_size: float
    turned: bool
    chosen: bool


@dataclass(frozen=True, slots=True)
class KeyPlan:
    title: str
    says: str
    width: float
    height: float
    places: tuple[KeyPlace, ...]
    bar: Bar
    north: Point | None
    """Where the north arrow stands; None when nothing on the plan has a place."""
    unplaced: str
    """A sentence about what is drawn in order; empty when all is placed."""
    unplaced_y: float
    table: Table


def key_plan(
    beds: Sequence[Bed],
    trees: Sequence[Tree],
    bench_m2: float,
    href: Href,
    chosen: str = "",
    units: Units = "metric",
    width: float = 336.0,
    tallest: float = 420.0,
) -> KeyPlan:
    """The plan at most `width` by about `tallest` wide and high.

    Beds and trees with a place are drawn where they are, east to the right and north up; the rest
    below, to the same scale, in the order of their table, and `unplaced` says so. `chosen` is the
    key of the place chosen, `marks.NURSERY` for the bench.
    """
    north = runs_north(beds)
    grounds = [(bed, *place) for bed in beds if (place := corners(bed, north))]
    standing = [(tree, tree.x_m, tree.y_m) for tree in trees]
    points = [(x, y) for _, x, y in standing if x is not None and y is not None]
    wests = [one[1] for one in grounds] + [x - _TREE_M for x, _ in points]
    souths = [one[2] for one in grounds] + [y - _TREE_M for _, y in points]
    easts = [one[3] for one in grounds] + [x + _TREE_M for x, _ in points]
    norths = [one[4] for one in grounds] + [y + _TREE_M for _, y in points]
    room = width - 2 * _MARGIN
    loose = [bed for bed in beds if bed.x_m is None or bed.y_m is None]
    pixels = _pixels_per_metre(wests, easts, souths, norths, beds, room, tallest)
    links = _Links(href, chosen, units)
    drawn: list[KeyPlace] = []
    bottom = _MARGIN
    if wests:
        left, top = min(wests), max(norths)
        across = _MARGIN + (room - (max(easts) - left) * pixels) / 2
        for bed, x0, y0, x1, y1 in grounds:
            x, y = across + (x0 - left) * pixels, _MARGIN + (top - y1) * pixels
            drawn.append(_bed(links, bed, (x, y, (x1 - x0) * pixels, (y1 - y0) * pixels)))
        for tree, east, up in standing:
            if east is not None and up is not None:
                x, y = across + (east - left) * pixels, _MARGIN + (top - up) * pixels
                drawn.append(_tree(links, tree, x, y, _TREE_M * pixels))
        bottom += (top - min(souths)) * pixels
    unplaced_y = bottom + 18.0
    lost = [tree for tree, x, y in standing if x is None or y is None]
    says = _unplaced(loose, lost, bool(wests))
    y = unplaced_y + 8.0 if says else bottom + 8.0
    rows = _Rows(_MARGIN, y, room)
    for bed in loose:
        x, y = rows.next(bed.length_m * pixels, bed.width_m * pixels)
        drawn.append(_bed(links, bed, (x, y, bed.length_m * pixels, bed.width_m * pixels)))
    for tree in lost:
        size = max(2 * _TREE_M * pixels, 2 * _LEAST_TREE)
        x, y = rows.next(size, size)
        drawn.append(_tree(links, tree, x + size / 2, y + size / 2, size / 2))
    if bench_m2 > 0:
        side = (bench_m2 / 2.0) ** 0.5 * pixels
        wide, high = min(2 * side, room), max(side, 12.0)
        x, y = rows.next(wide, high)
        drawn.append(_bench(links, (x, y, wide, high), bench_m2))
    bottom = max(bottom, rows.bottom)
    return KeyPlan(
        title=word("screen.plan.title"),
        says=say(text("screen.plan.says", beds=len(beds), trees=len(trees))),
        width=tenth(width),
        height=tenth(bottom + _FOOT),
        places=tuple(drawn),
        bar=bar_at(_MARGIN, bottom + _FOOT - 8.0, pixels, 100.0, units),
        north=Point(tenth(width - 16.0), tenth(bottom + _FOOT - 6.0)) if wests else None,
        unplaced=says,
        unplaced_y=tenth(unplaced_y),
        table=_table(beds, trees, bench_m2, units),
    )


def _pixels_per_metre(
    wests: Sequence[float],
    easts: Sequence[float],
    souths: Sequence[float],
    norths: Sequence[float],
    beds: Sequence[Bed],
    room: float,
    tallest: float,
) -> float:
    fits = [room / max(bed.length_m, bed.width_m) for bed in beds if bed.x_m is None]
    if wests:
        fits.append(room / max(max(easts) - min(wests), 1e-6))
        fits.append(tallest / max(max(norths) - min(souths), 1e-6))
    return min([*fits, 60.0])


class _Rows:
    """Sets things side by side from the left, a new row where one is full."""

    def __init__(self, left: float, top: float, room: float) -> None:
        self.left, self.room = left, room
        self.x, self.y, self.bottom = left, top, top

    def next(self, w: float, h: float) -> tuple[float, float]:
        if self.x > self.left and self.x + w > self.left + self.room + 1e-6:
            self.x, self.y = self.left, self.bottom + 6.0
        place = (self.x, self.y)
        self.x += w + 6.0
        self.bottom = max(self.bottom, self.y + h)
        return place


_Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class _Links:
    href: Href
    chosen: str
    units: Units


def _place(
    links: _Links, key: str, kind: str, place: _Box, title: str, name: str, label: str
) -> KeyPlace:
    """A place with its label along its longer side where there is room for it."""
    x, y, w, h = place
    turned = h > w
    run, across = (h, w) if turned else (w, h)
    size = min(_NAMES, across * 0.85)
    fits = size >= 5.0 and room_for(label, size) <= run - 2.0
    return KeyPlace(
        *(key, kind, tenth(x), tenth(y), tenth(w), tenth(h), tenth(w / 2)),
        *(links.href(key), title, name, label if fits else ""),
        *(tenth(x + w / 2), tenth(y + h / 2), tenth(size)),
        turned,
        key == links.chosen,
    )


def _bed(links: _Links, bed: Bed, box: _Box) -> KeyPlace:
    size = _size(bed, links.units)
    name = say(text("screen.plan.bed", bed=bed.key, size=size))
    return _place(links, bed.key, "bed", box, bed.key, name, bed.key)


def _tree(links: _Links, tree: Tree, x: float, y: float, radius: float) -> KeyPlace:
    r = max(radius, _LEAST_TREE)
    name = say(text("screen.plan.tree", tree=tree.key, species=tree.species))
    return _place(links, tree.key, "tree", (x - r, y - r, 2 * r, 2 * r), tree.key, name, "")


def _bench(links: _Links, box: _Box, bench_m2: float) -> KeyPlace:
    name = say(text("screen.plan.bench", area=show(bench_m2, "m2", links.units)))
    return _place(links, NURSERY, "bench", box, word("screen.bench"), name, word("screen.bench"))


def _size(bed: Bed, units: Units) -> str:
    long, wide = show(bed.length_m, "m", units), show(bed.width_m, "m", units)
    return say(text("screen.plan.size", long=long, wide=wide))


def _unplaced(beds: Sequence[Bed], trees: Sequence[Tree], some_placed: bool) -> str:
    if not beds and not trees:
        return ""
    return word("screen.plan.some_unplaced" if some_placed else "screen.plan.none_placed")


def _table(beds: Sequence[Bed], trees: Sequence[Tree], bench_m2: float, units: Units) -> Table:
    rows = [(bed.key, word("screen.kind.bed"), _size(bed, units)) for bed in beds]
    rows += [(tree.key, word("screen.kind.tree"), tree.species) for tree in trees]
    if bench_m2 > 0:
        rows.append((word("screen.bench"), word("screen.kind.bench"), show(bench_m2, "m2", units)))
    head = (word("screen.head.place"), word("screen.head.kind"), word("screen.head.size"))
    return Table(word("screen.plan.table"), head, tuple(rows))
