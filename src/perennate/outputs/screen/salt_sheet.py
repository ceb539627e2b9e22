"""Salt in the beds through the years: where it goes, and where crops begin to lose by it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from perennate.outputs.screen.marks import Href, Table, room_for, tenth
from perennate.outputs.screen.water_pieces import Height
from perennate.outputs.screen.water_said import listed
from perennate.planning.plan import Plan
from perennate.planning.water_plan import BedSalt
from perennate.terms import Text, text
from perennate.words import plain, say, word
from perennate.words.say import crop_name

_WIDTH, _HEIGHT = 336.0, 168.0
_LEFT, _RIGHT = 32.0, 16.0
_TOP, _BOTTOM = 10.0, 136.0
_LABEL_SIZE = 11.0
_LEAST_TOP = 2.0
"""dS/m that the scale reaches at least, so that little salt looks little."""
_LINES_APART = 13.0
_YEARS_APART = 52.0
_MOST_DRAWN = 6


@dataclass(frozen=True, slots=True)
class SaltLine:
    """The salt from which on a crop loses."""

    y: float
    label_y: float
    name: str


@dataclass(frozen=True, slots=True)
class Tick:
    at: float
    name: str


@dataclass(frozen=True, slots=True)
class Salt:
    """Beds whose salt goes the same way, drawn once. `start` is a firm dot where it was measured,
    an open one where it is assumed."""

    id: str
    title: str
    says: str
    beds: tuple[tuple[str, str], ...]
    """(name, address) of each."""
    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    years: tuple[Tick, ...]
    amounts: tuple[Tick, ...]
    band: str
    middle: str
    high: str
    lines: tuple[SaltLine, ...]
    start_x: float
    start_y: float
    start_known: bool
    is_mind: bool
    table: Table


def salt_sheets(
    plan: Plan,
    names: Mapping[str, str],
    href_bed: Href,
    thresholds: Mapping[str, float],
    chosen: str = "",
    few: bool = False,
) -> tuple[Salt, ...]:
    """Salt by year for the plan's beds, those that go the same way together, the saltiest first.

    `thresholds`: dS/m of the saturated extract from which on a crop loses, by crop; one that is
    not known has no line. `chosen`: the one bed to draw. `few`: of all beds only those that are
    worth a picture, the ones to mind, and where there are none the saltiest.
    """
    if plan.water is None:
        return ()
    alike: dict[tuple[object, ...], list[BedSalt]] = {}
    for one in plan.water.salts:
        if one.ece and (not chosen or one.bed == chosen):
            alike.setdefault(_likeness(one), []).append(one)
    groups = sorted(alike.values(), key=lambda group: (-max(group[0].ece), group[0].bed))
    if few:
        minded = [group for group in groups if _is_mind(group[0])]
        groups = minded[:_MOST_DRAWN] or groups[:1]
    return tuple(
        _salt(plan, group, names, href_bed, thresholds, place)
        for place, group in enumerate(groups, 1)
    )


def _is_mind(one: BedSalt) -> bool:
    return bool(one.losses) or not one.leached_by_rain


def all_beds(plan: Plan, names: Mapping[str, str]) -> Table:
    """A row a bed, in the plan's order: its salt now and in the end, and what that costs."""
    head = (
        word("screen.head.bed"),
        word("page.water.head.source"),
        word("screen.salt.head.now"),
        word("screen.salt.head.end"),
        word("screen.salt.head.high"),
        word("screen.salt.head.leached"),
        word("screen.salt.head.losses"),
    )
    rows = tuple(
        (
            one.bed,
            one.source or word("page.water.no_source"),
            plain(round(one.start_ece, 2)),
            plain(round(one.ece[-1], 2)),
            plain(round(one.ece_high[-1], 2)),
            word("yes" if one.leached_by_rain else "no"),
            _losses(one, names) or word("screen.salt.none"),
        )
        for one in (plan.water.salts if plan.water else ())
        if one.ece
    )
    return Table(word("screen.salt.table_beds"), head, rows)


def beds_say(plan: Plan) -> Text:
    """How many beds rain leaches, and how many lose by salt."""
    salts = plan.water.salts if plan.water else ()
    return text(
        "screen.salt.beds",
        beds=len(salts),
        leached=sum(one.leached_by_rain for one in salts),
        losing=sum(bool(one.losses) for one in salts),
    )


def _losses(one: BedSalt, names: Mapping[str, str]) -> str:
    return ", ".join(f"{crop_name(crop, names)} {share:.0%}" for crop, share in one.losses)


def _likeness(one: BedSalt) -> tuple[object, ...]:
    course = tuple(round(value, 1) for value in (*one.ece, *one.ece_high))
    losses = tuple((crop, round(share, 2)) for crop, share in one.losses)
    return one.source, one.start_known, course, losses, one.leached_by_rain


def _salt(
    plan: Plan,
    group: Sequence[BedSalt],
    names: Mapping[str, str],
    href_bed: Href,
    thresholds: Mapping[str, float],
    place: int,
) -> Salt:
    one = group[0]
    known = {crop: thresholds[crop] for crop, _ in one.losses if crop in thresholds}
    top = max((_LEAST_TOP, *one.ece_high, *(1.1 * line for line in known.values())))
    years = len(one.ece)
    step = (_WIDTH - _LEFT - _RIGHT) / years

    def height(ece: float) -> float:
        return _BOTTOM - ece / top * (_BOTTOM - _TOP)

    def path(values: Sequence[float], back: bool = False) -> list[str]:
        points = [(_LEFT + step * year, height(value)) for year, value in enumerate(values)]
        return [f"{tenth(x)} {tenth(y)}" for x, y in (reversed(points) if back else points)]

    middle, high = (one.start_ece, *one.ece), (one.start_ece, *one.ece_high)
    beds = listed([salt.bed for salt in group])
    return Salt(
        id=f"salt-{place}",
        title=say(text("screen.salt.title", count=len(group), beds=beds)),
        says=_says(one, names),
        beds=tuple((salt.bed, href_bed(salt.bed)) for salt in group),
        width=_WIDTH,
        height=_HEIGHT,
        left=_LEFT,
        right=_WIDTH - _RIGHT,
        top=_TOP,
        bottom=_BOTTOM,
        years=_years(plan.start.year, years, step),
        amounts=tuple(Tick(tenth(height(ece)), plain(ece)) for ece in _amounts(top)),
        band="M" + "L".join([*path(high), *path(middle, back=True)]) + "Z",
        middle="M" + "L".join(path(middle)),
        high="M" + "L".join(path(high)),
        lines=_lines(known, names, height),
        start_x=_LEFT,
        start_y=tenth(height(one.start_ece)),
        start_known=one.start_known,
        is_mind=_is_mind(one),
        table=_table(one, plan.start.year, beds),
    )


def _years(first: int, years: int, step: float) -> tuple[Tick, ...]:
    """Now, and the growing weeks of as many years as can be read; the first is the plan's own."""
    every = next((n for n in (1, 2, 3, 5, 10) if n * step >= _YEARS_APART), years)
    later = (
        Tick(tenth(_LEFT + step * year), str(first + year - 1))
        for year in range(every, years + 1, every)
    )
    return Tick(_LEFT, word("screen.salt.now")), *later


def _amounts(top: float) -> list[float]:
    """Whole amounts of salt up to the top, four or so."""
    step = next((n for n in (0.5, 1.0, 2.0, 4.0) if top / n <= 5.0), 8.0)
    return [step * number for number in range(int(top / step) + 1)]


def _lines(
    known: Mapping[str, float], names: Mapping[str, str], height: Height
) -> tuple[SaltLine, ...]:
    """One line for every threshold, its crops named above it where that does not run into
    another's name."""
    by_line: dict[float, list[str]] = {}
    for crop, line in known.items():
        by_line.setdefault(round(line, 2), []).append(crop_name(crop, names))
    lines: list[SaltLine] = []
    below = _BOTTOM + _LINES_APART
    for line in sorted(by_line):
        y = height(line)
        label = min(y - 3.0, below - _LINES_APART)
        lines.append(SaltLine(tenth(y), tenth(label), _short(", ".join(by_line[line]))))
        below = label
    return tuple(lines)


def _short(label: str) -> str:
    room = _WIDTH - _LEFT - _RIGHT - 8.0
    while room_for(label, _LABEL_SIZE) > room:
        label = label.rstrip("…")[:-1] + "…"
    return label


def _says(one: BedSalt, names: Mapping[str, str]) -> str:
    """Where it begins and ends, what it costs, and whether rain leaches it."""
    start = "screen.salt.measured" if one.start_known else "screen.salt.assumed"
    said = [
        say(
            text(
                "screen.salt.says",
                source=one.source or word("page.water.no_source"),
                start=one.start_ece,
                known=word(start),
                years=len(one.ece),
                end=one.ece[-1],
                high=one.ece_high[-1],
            )
        ),
        word("screen.salt.leached" if one.leached_by_rain else "screen.salt.not_leached"),
    ]
    if one.losses:
        said.append(say(text("screen.salt.losses", list=_losses(one, names))))
    else:
        said.append(word("screen.salt.no_losses"))
    return " ".join(said)


def _table(one: BedSalt, first: int, beds: str) -> Table:
    head = (
        word("screen.salt.head.year"),
        word("screen.salt.head.middle"),
        word("screen.salt.head.high"),
    )
    rows = tuple(
        (str(first + year), plain(round(middle, 2)), plain(round(high, 2)))
        for year, (middle, high) in enumerate(zip(one.ece, one.ece_high, strict=True))
    )
    return Table(say(text("screen.salt.table", beds=beds)), head, rows)
