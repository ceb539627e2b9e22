"""A planting: all that is known of it, its jobs, and what a grower may do to it by hand."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, cast

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect

from perennate.holding import read_row
from perennate.holding.model import Hand, HandPlanting
from perennate.outputs.coming_weeks import Shown, with_cautions
from perennate.outputs.water_told import planting_lines
from perennate.outputs.work_list import work_lines
from perennate.planning import acts
from perennate.planning.acts import Act
from perennate.planning.done import ticked
from perennate.planning.explain import explain
from perennate.planning.plan import Job, PlannedPlanting
from perennate.season_files import CropNames
from perennate.server.pages.answers import changed, overtaken
from perennate.server.pages.ground import bed_drawing
from perennate.server.pages.hand_forms import (
    ACTS,
    ADDED,
    Asked,
    act_forms,
    act_of,
    add_form,
    faults,
)
from perennate.server.pages.links import aim_href, bed_href
from perennate.server.pages.look_out import FindingLinks
from perennate.server.pages.rows import effect
from perennate.server.pages.sheet import Sheet, open_sheet, planned, show
from perennate.server.store.door import OvertakenError, apply
from perennate.server.store.rows import texts_of
from perennate.terms import BadInput, Text, text
from perennate.words import word
from perennate.words.lines import what_grows

_LAST_CHANGES = 300


def planting(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    one = sheet.plantings.get(key)
    return _page(request, sheet, one) if one is not None else _gone(request, sheet, key)


def act(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """An act on a planting, saved, or with `try=yes` only reckoned through."""
    sheet = open_sheet(request, slug)
    if request.method != "POST":
        return HttpResponseRedirect(sheet.address("planting", key))
    one = sheet.plantings.get(key)
    if one is None:
        return _gone(request, sheet, key)
    name = request.POST.get("act", "")
    if name not in ACTS:
        raise Http404(f"no act {name}")
    typed = {field: str(value) for field, value in request.POST.items()}
    made = sheet.standing.made
    assert made is not None, "a planting that was found is of a plan"
    try:
        done = act_of(name, one, sheet, made, typed)
        if request.POST.get("try") == "yes":
            asked = Asked(name, typed, _effect(sheet, done))
            return _page(request, sheet, one, asked)
        what = text("change.hand", crop=one.crop, bed=_place(one), act=word(f"page.act.{name}"))
        return _saved(request, sheet, done, what, _afterwards(sheet, name, one))
    except BadInput as bad:
        return _page(request, sheet, one, Asked(name, typed, wrong=faults(bad)))


def add(request: HttpRequest, slug: str) -> HttpResponse:
    """A planting of the grower's own; what stands in the address fills the form."""
    sheet = open_sheet(request, slug)
    made = planned(sheet) and sheet.standing.made
    assert made is not None
    if request.method != "POST":
        typed = {name: request.GET.get(name, "") for name in ADDED}
        typed["bed"] = typed["bed"] or sheet.bed
        return _add_page(request, sheet, Asked("add", typed))
    typed = {name: request.POST.get(name, "") for name in ADDED}
    try:
        row = _row(sheet, typed)
        done = acts.add(
            sheet.holding,
            made,
            sheet.standing.season.catalogue,
            crop=row.crop,
            bed=row.bed,
            sow=row.sown,
            ground_from=row.ground_from,
            ground_to=row.ground_to,
            start_m=row.start_m,
            length_m=row.length_m,
            variety=row.variety,
            lot=row.lot,
            plants=row.plants,
            hand=row.hand,
            note=row.note,
        )
        if request.POST.get("try") == "yes":
            return _add_page(request, sheet, Asked("add", typed, _effect(sheet, done)))
        what = text("change.hand", crop=row.crop, bed=row.bed, act=word("page.act.add"))
        stood = done.rows[0].ground_from
        day = stood.isoformat() if stood else None
        return _saved(request, sheet, done, what, sheet.address("ground", bed=row.bed, day=day))
    except BadInput as bad:
        return _add_page(request, sheet, Asked("add", typed, wrong=faults(bad)))


def _gone(request: HttpRequest, sheet: Sheet, key: str) -> HttpResponse:
    """A planting that is not in the plan as it stands: the change that took it out, if it was one
    of the last; 404 either way."""
    for change in sheet.store.changes.select_related("undone_by")[:_LAST_CHANGES]:
        if any(table == "plantings" and of == key for table, of, *_ in change.rows):
            said: dict[str, Any] = {"gone": change, "gone_what": texts_of([change.what])[0]}
            return show(request, sheet, "planting_gone", "Not in the plan", status=404, **said)
    raise Http404(f"no planting {key} in this plan")


def _place(one: PlannedPlanting) -> str:
    return one.bed or word("label.bench")


def _after(sheet: Sheet, done: Act) -> tuple[HandPlanting, ...]:
    return acts.after(done, sheet.holding.plantings)


def _effect(sheet: Sheet, done: Act) -> tuple[Text, ...]:
    return effect(sheet, replace(sheet.holding, plantings=_after(sheet, done)))


def _saved(
    request: HttpRequest, sheet: Sheet, done: Act, what: Text, afterwards: str
) -> HttpResponse:
    after = replace(sheet.holding, plantings=_after(sheet, done))
    try:
        change = apply(sheet.store.pk, what, sheet.holding, after, said=effect(sheet, after))
    except OvertakenError:
        return overtaken(request, sheet, afterwards)
    return changed(request, sheet, change, afterwards)


def _afterwards(sheet: Sheet, name: str, one: PlannedPlanting) -> str:
    """Where to go after an act: where the planting was, if it may be there no longer."""
    if name in ("drop", "refuse"):
        return sheet.address("ground", bed=one.bed, day=one.ground_from.isoformat())
    return sheet.address("planting", one.key)


def _page(
    request: HttpRequest, sheet: Sheet, one: PlannedPlanting, asked: Asked | None = None
) -> HttpResponse:
    plan = planned(sheet)
    done = ticked(sheet.holding.records)
    jobs = [job for job in plan.jobs if job.planting == one.key]
    left = [job for job in jobs if job.key not in done or not done[job.key].whole]
    over = [job for job in jobs if job.key in done and done[job.key].whole]
    met: dict[Text, int] = {}
    to_aim, links = aim_href(sheet), FindingLinks(sheet)
    what = what_grows(one.crop, one.variety, sheet.names)
    day = min(max(sheet.today, one.ground_from), one.ground_to)
    return show(
        request,
        sheet,
        "planting",
        f"{what}, {_place(one)}",
        status=422 if asked and asked.wrong else 200,
        one=one,
        what=what,
        status_code=f"status.{one.status}",
        route_code=f"route.{one.route}",
        basis_code=f"basis.{one.harvest.basis}",
        left=_lines(sheet, left, met),
        over=_lines(sheet, over, met),
        aims=[(aim, to_aim(aim)) for aim in one.aims],
        is_known=one.crop in sheet.standing.season.catalogue.crops,
        is_lot=any(lot.key == one.lot for lot in sheet.holding.lots),
        findings=[links.told(found) for found in plan.findings if one.key in found.about],
        explanation=explain(plan, one.key, sheet.holding, sheet.standing.season.catalogue),
        forms=act_forms(one, sheet, asked) if one.bed else (),
        water=planting_lines(plan, one.key, sheet.units),
        water_href=bed_href(sheet, "water")(one.bed) if one.bed else "",
        drawing=bed_drawing(sheet, one.bed, day) if one.bed else "",
        day=day,
    )


def _lines(sheet: Sheet, jobs: Sequence[Job], met: dict[Text, int]) -> tuple[Shown, ...]:
    return with_cautions(work_lines(jobs, sheet.plantings, sheet.units, sheet.names), met)


def _row(sheet: Sheet, typed: dict[str, str]) -> HandPlanting:
    """What was typed as a row of the table of plantings."""
    crops = CropNames(sheet.standing.season.catalogue)
    # a wished row may leave open what a fixed one may not; here it is reckoned
    cells = {**typed, "hand": "wished"}
    row: HandPlanting = read_row(
        "plantings", cells, sheet.holding, crops.find, crops.suggest, crops.portion
    )
    return replace(row, hand=cast(Hand, typed["hand"]))


def _add_page(request: HttpRequest, sheet: Sheet, asked: Asked) -> HttpResponse:
    catalogue = sheet.standing.season.catalogue
    return show(
        request,
        sheet,
        "planting_add",
        "Plant something",
        status=422 if asked.wrong else 200,
        form=add_form(sheet, asked),
        crops=sorted(catalogue.crops.values(), key=lambda crop: crop.common_name),
    )
