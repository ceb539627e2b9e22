"""Forms for what a grower does to a planting by hand, and how they are read.

What is typed is read as the cells of the table of plantings are: any unit of length, decimal
commas, days as the holding writes them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from perennate.holding import read_row
from perennate.holding.model import HandPlanting
from perennate.planning import acts
from perennate.planning.acts import Act
from perennate.planning.plan import Plan, PlannedPlanting
from perennate.season_files import CropNames
from perennate.server.pages.sheet import Sheet
from perennate.terms import BadInput, Text
from perennate.words import Units, convert, word

Typed = Mapping[str, str]
ACTS = ("fix", "wish", "let_go", "move", "resize", "split", "drop", "refuse")
ADDED = (
    *("crop", "variety", "bed", "sown", "ground_from", "ground_to"),
    *("start_m", "length_m", "plants", "lot", "hand", "note"),
)
"""What is asked of a planting of the grower's own."""
_IN_METRES = "In m unless another unit is written."
_ANYWHERE = "any bed"


@dataclass(frozen=True, slots=True)
class Blank:
    """One field to fill in: a choice where there are options, a day where `is_day`; `listed` names
    the list of suggestions beside it."""

    name: str
    called: str
    value: str
    help: str = ""
    options: tuple[str, ...] = ()
    is_day: bool = False
    listed: str = ""
    wrong: tuple[str, ...] = ()

    @property
    def is_number(self) -> bool:
        return self.name in ("start_m", "length_m", "plants")


@dataclass(frozen=True, slots=True)
class ActForm:
    """A form for one act; `tried` says what the act would change, once that was asked."""

    act: str
    heading: str
    note: str
    button: str
    blanks: tuple[Blank, ...]
    tried: tuple[Text, ...] = ()
    wrong: tuple[str, ...] = ()

    @property
    def is_open(self) -> bool:
        return bool(self.tried or self.wrong or any(blank.wrong for blank in self.blanks))


@dataclass(frozen=True, slots=True)
class Asked:
    """An act that was asked for: what was typed, what it would change, or what was wrong."""

    act: str
    typed: Typed
    tried: tuple[Text, ...] = ()
    wrong: Mapping[str, Sequence[str]] | None = None


def faults(bad: BadInput) -> dict[str, list[str]]:
    """What is wrong in words, by column."""
    wrong: dict[str, list[str]] = {}
    for one in bad.problems:
        line = f"found {one.found}; expected {one.expected}"
        wrong.setdefault(one.column or "", []).append(line)
    return wrong


def act_forms(planting: PlannedPlanting, sheet: Sheet, asked: Asked | None = None) -> list[ActForm]:
    """The forms that make sense for this planting, the one asked for as it was sent."""
    beds = tuple(bed.key for bed in sheet.holding.beds)
    units, stands = sheet.units, planting.status == "stands"
    forms = []
    if planting.status in ("planned", "wished"):
        forms.append(_form("fix", "Fix it", "Every plan to come keeps it just so.", ()))
    if planting.status in ("planned", "fixed"):
        note = "Plans to come keep it where nothing firmer is in its way."
        forms.append(_form("wish", "Wish for it", note, ()))
    if planting.status in ("fixed", "wished"):
        note = "It is no longer held; a new plan may move it or leave it out."
        forms.append(_form("let_go", "Leave it to the planner", note, ()))
    forms.append(
        _form(
            "move",
            "Move it",
            "To another bed, another place in it, or another day. It keeps its length.",
            (
                Blank("bed", "bed", planting.bed, options=beds),
                Blank("start_m", "begins at", _length(planting.start_m, units), _IN_METRES),
                Blank("sown", "sown on", planting.sow.isoformat(), is_day=True),
            ),
        )
    )
    forms.append(
        _form(
            "resize",
            "Make it longer or shorter",
            "From where it begins; plants are counted anew.",
            (Blank("length_m", "length", _length(planting.length_m, units), _IN_METRES),),
        )
    )
    half = planting.start_m + planting.length_m / 2
    forms.append(
        _form(
            "split",
            "Split it",
            "In two, each with its own page from then on.",
            (Blank("start_m", "second part begins at", _length(half, units), _IN_METRES),),
        )
    )
    gone = "It was cleared; it stays in the history of the bed." if stands else "Only this one."
    forms.append(_form("drop", "Drop it", gone, ()))
    if not stands:
        forms.append(
            _form(
                "refuse",
                "Refuse this crop",
                "Never this crop, in this bed or any, between these days; without days, never.",
                (
                    Blank("bed", "in", planting.bed, options=(planting.bed, _ANYWHERE)),
                    Blank("ground_from", "from", "", is_day=True),
                    Blank("ground_to", "up to", "", is_day=True),
                ),
            )
        )
    return [_as_sent(form, asked) for form in forms]


def add_form(sheet: Sheet, asked: Asked) -> ActForm:
    """The form for a planting of the grower's own, filled with what was typed."""
    beds = tuple(bed.key for bed in sheet.holding.beds)
    lots = tuple(lot.key for lot in sheet.holding.lots)
    either = "This day or the next one; the other is reckoned from the crop."
    form = _form(
        "add",
        "Plant something",
        "",
        (
            Blank("crop", "what", "", "A crop by any of its names.", listed="crops"),
            Blank("variety", "variety", ""),
            Blank("bed", "bed", "", options=beds),
            Blank("sown", "sown on", "", either, is_day=True),
            Blank("ground_from", "in the bed from", "", is_day=True),
            Blank("ground_to", "bed free again on", "", "Empty: by the crop's days.", is_day=True),
            Blank("start_m", "begins at", "", f"{_IN_METRES} Empty: where there is room."),
            Blank("length_m", "length", "", f"{_IN_METRES} Empty: the rest of the bed."),
            Blank("plants", "plants", "", "Empty: as many as stand there at the usual spacing."),
            Blank("lot", "from lot", "", options=("", *lots)),
            Blank(
                *("hand", "how firm", ""),
                "fixed: plans keep it so; wished: where nothing firmer is in its way; stands: "
                "growing now.",
                ("fixed", "wished", "stands"),
            ),
            Blank("note", "note", ""),
        ),
    )
    return _as_sent(form, asked)


def _form(act: str, heading: str, note: str, blanks: tuple[Blank, ...]) -> ActForm:
    return ActForm(act, heading, note, word(f"page.do.{act}"), blanks)


def _as_sent(form: ActForm, asked: Asked | None) -> ActForm:
    if asked is None or asked.act != form.act:
        return form
    wrong = dict(asked.wrong or {})
    blanks = tuple(
        Blank(
            *(one.name, one.called, asked.typed.get(one.name, one.value), one.help),
            *(one.options, one.is_day, one.listed, tuple(wrong.pop(one.name, ()))),
        )
        for one in form.blanks
    )
    rest = tuple(line for lines in wrong.values() for line in lines)
    return ActForm(*(form.act, form.heading, form.note, form.button, blanks, asked.tried, rest))


def act_of(name: str, planting: PlannedPlanting, sheet: Sheet, plan: Plan, typed: Typed) -> Act:
    """The act of ACTS as it was asked for; `plan` is the plan as it was made. BadInput for what
    cannot be read or cannot be."""
    holding = sheet.holding
    if name == "fix":
        return acts.fix(planting, holding)
    if name == "wish":
        return acts.wish(planting, holding)
    if name == "let_go":
        return acts.let_go(planting)
    if name == "drop":
        return acts.drop(planting, holding, plan)
    if name == "refuse":
        row = _read(planting, sheet, typed, ("ground_from", "ground_to"))
        where = "" if typed.get("bed") == _ANYWHERE else planting.bed
        first, last = row.ground_from, row.ground_to
        done = acts.refuse(holding, plan, crop=planting.crop, bed=where, first=first, last=last)
        # what is fixed or wished would stand firmer than the refusal, which is asked for here
        own = planting.status in ("fixed", "wished") and _meets(planting, first, last)
        return Act(done.rows, (planting.key,)) if own else done
    if name == "move":
        # a place left as it was is no wish for that place in another bed
        stays = _is_left(typed.get("start_m", ""), planting.start_m, sheet.units)
        names = ("bed", "sown") if stays else ("bed", "start_m", "sown")
        row = _read(planting, sheet, typed, names)
        place = row.start_m
        sow = None if row.sown == planting.sow else row.sown
        bed = None if row.bed in ("", planting.bed) else row.bed
        return acts.move(planting, holding, plan, bed=bed, start_m=place, sow=sow)
    if name == "resize":
        stays = _is_left(typed.get("length_m", ""), planting.length_m, sheet.units)
        row = _read(planting, sheet, typed, () if stays else ("length_m",))
        long = planting.length_m if row.length_m is None else row.length_m
        return acts.resize(planting, holding, length_m=long)
    row = _read(planting, sheet, typed, ("start_m",))
    at = planting.start_m if row.start_m is None else row.start_m
    return acts.split(planting, holding, plan, at_m=at)


def _meets(planting: PlannedPlanting, first: date | None, last: date | None) -> bool:
    """Whether the planting is in the ground on one of these days; None leaves an end open."""
    begun = last is None or planting.ground_from <= last
    return begun and (first is None or planting.ground_to > first)


def _read(
    planting: PlannedPlanting, sheet: Sheet, typed: Typed, names: Sequence[str]
) -> HandPlanting:
    """What was typed for these columns, as a row read beside those of the holding."""
    crops = CropNames(sheet.standing.season.catalogue)
    cells = {name: typed.get(name, "") for name in names}
    cells |= {"hand": "wished", "crop": planting.crop, "bed": cells.get("bed") or planting.bed}
    row: HandPlanting = read_row(
        "plantings", cells, sheet.holding, crops.find, crops.suggest, crops.portion
    )
    return row


def _length(metres: float, units: Units) -> str:
    """A length as the reader of tables takes it: bare metres to the millimetre, or feet."""
    value, unit = convert(metres, "m", units)
    if unit == "m":
        return f"{value:.3f}".rstrip("0").rstrip(".")
    return f"{value:.2f} {unit}"


def _is_left(typed: str, metres: float, units: Units) -> bool:
    """Whether a length was left empty or as it was shown, which is rounded."""
    return typed.strip() in ("", _length(metres, units))
