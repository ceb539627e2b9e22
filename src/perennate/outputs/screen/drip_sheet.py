"""Drip lines drawn: a bed to scale from above, its lines, where water comes in and ends."""

from dataclasses import dataclass

from perennate.holding.model import Bed
from perennate.outputs.screen.marks import Bar, Box, Point, Table, bar_at, box, tenth
from perennate.outputs.screen.strip_parts import Sign
from perennate.outputs.screen.water_said import figure, listed
from perennate.science.drip_layout import DripLayout
from perennate.terms import text
from perennate.words import Units, say, show, symbol, word

_WIDTH, _TALLEST = 336.0, 240.0
_LEFT, _RIGHT, _TOP, _FOOT = 34.0, 10.0, 8.0, 30.0
_HEAD_OFF, _END = 7.0, 3.0
_LEAST_PITCH = 3.5
"""Emitters that would lie closer than this are not drawn one by one."""
_MOST_DOTS = 1500


@dataclass(frozen=True, slots=True)
class DripSheet:
    """Lines as paths: `head` is the pipe across the bed's end, `dots` the emitters (empty where
    they lie too close to be told apart), `ends` the caps. Water comes in at `inlet`."""

    title: str
    says: str
    width: float
    height: float
    bed: Box
    lines: str
    head: str
    dots: str
    ends: str
    inlet: Point
    bar: Bar
    size: str
    key_signs: tuple[Sign, ...]
    table: Table


def drip_sheet(bed: Bed, laid: DripLayout, units: Units) -> DripSheet:
    """The bed with its length from left to right, at most `_WIDTH` wide."""
    pixels = min((_WIDTH - _LEFT - _RIGHT) / bed.length_m, _TALLEST / bed.width_m)
    wide, high = bed.length_m * pixels, bed.width_m * pixels
    rows = [_TOP + place * pixels for place in laid.positions_m]
    start, end = _LEFT - _HEAD_OFF, _LEFT + wide
    middle = _TOP + high / 2
    bottom = _TOP + high + _FOOT
    pitch = bed.length_m / laid.emitters_per_line * pixels
    size = f"{show(bed.length_m, 'm', units)} × {show(bed.width_m, 'm', units)}"
    dots = _dots(rows, pitch, laid.emitters_per_line)
    signs = ("drip_line", *(("emitter",) if dots else ()), "inlet")
    return DripSheet(
        title=say(text("screen.drip.title", bed=bed.key)),
        says=_told(bed, laid, units),
        width=_WIDTH,
        height=tenth(bottom),
        bed=box(_LEFT, _TOP, wide, high),
        lines="".join(f"M{tenth(start)} {tenth(y)}H{tenth(end)}" for y in rows),
        head=f"M{tenth(start)} {tenth(min(*rows, middle))}V{tenth(max(*rows, middle))}",
        dots=dots,
        ends="".join(f"M{tenth(end)} {tenth(y - _END)}v{2 * _END:g}" for y in rows),
        inlet=Point(tenth(start), tenth(middle)),
        bar=bar_at(_LEFT, bottom - 8.0, pixels, 100.0, units),
        size=size,
        key_signs=tuple(Sign(one, word(f"screen.drip.key.{one}")) for one in signs),
        table=_table(bed, laid, units),
    )


def _dots(rows: list[float], pitch: float, emitters: int) -> str:
    if pitch < _LEAST_PITCH or emitters * len(rows) > _MOST_DOTS:
        return ""
    places = [tenth(_LEFT + (i + 0.5) * pitch) for i in range(emitters)]
    return "".join(f"M{x} {tenth(y)}h0" for y in rows for x in places)


def _told(bed: Bed, laid: DripLayout, units: Units) -> str:
    places = listed([show(100.0 * place, "cm", units) for place in laid.positions_m])
    said = text(
        "screen.drip.says",
        length=bed.length_m,
        width=bed.width_m,
        lines=laid.lines,
        list=places,
        along=100.0 * laid.emitter_spacing_m,
    )
    return say(said, units=units)


def _table(bed: Bed, laid: DripLayout, units: Units) -> Table:
    head = (
        word("screen.drip.head.line"),
        say(text("screen.drip.head.edge", unit=symbol("cm", units))),
        word("screen.drip.head.emitters"),
        say(text("page.water.drip.head.flow", unit=symbol("l/h", units))),
    )
    rows = tuple(
        (
            str(number),
            figure(100.0 * place, "cm", units),
            str(laid.emitters_per_line),
            figure(laid.line_flow_l_h, "l/h", units),
        )
        for number, place in enumerate(laid.positions_m, 1)
    )
    return Table(say(text("screen.drip.title", bed=bed.key)), head, rows)
