"""Aims: how far each is met, what holds it back, and the working behind the plan."""

from collections.abc import Callable, Hashable

from django.http import Http404, HttpRequest, HttpResponse

from perennate.holding.model import Aim
from perennate.outputs.screen.aim_bars import AimBar, aim_bar, aim_bars
from perennate.outputs.screen.charts import Chart, harvest_chart
from perennate.planning.explain import explain
from perennate.planning.plan import PlannedPlanting, ShadowPrice
from perennate.server.pages.links import planting_href
from perennate.server.pages.sheet import Sheet, open_sheet, show
from perennate.server.store.reading import Kept
from perennate.words import word

PRICES = 5
_charts = Kept(64)


def aims(request: HttpRequest, slug: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    bars = [bar for bar in _bars(sheet) if _is_here(bar, sheet)]
    in_plan = {one.aim for one in sheet.plan.aims} if sheet.plan else set()
    chart = None
    if sheet.plan and _asked(request):
        plan, names = sheet.plan, sheet.names
        made_of = (plan.yields.by_week, plan.yields.harvest_kg, sheet.units)
        chart = _chart(("", *made_of), lambda: harvest_chart(plan, names))
    return show(
        request,
        sheet,
        "aims",
        "Aims",
        short=[bar for bar in bars if not bar.is_met],
        met=[bar for bar in bars if bar.is_met],
        unplanned=[aim for aim in sheet.holding.aims if aim.key not in in_plan],
        chart=chart,
        ask_chart=sheet.query(chart="weeks"),
        prices=_prices(sheet),
        ended=word(f"solver.{sheet.plan.solver.status}") if sheet.plan else "",
    )


def aim(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    sheet = open_sheet(request, slug)
    row = next((one for one in sheet.holding.aims if one.key == key), None)
    found = next((one for one in sheet.plan.aims if one.aim == key), None) if sheet.plan else None
    if row is None and found is None:
        raise Http404(f"no aim {key}")
    bar = chart = working = None
    if sheet.plan is not None and found is not None:
        plan, names = sheet.plan, sheet.names
        bar = aim_bar(found, plan, names)
        working = explain(plan, key, sheet.holding, sheet.standing.season.catalogue)
        if found.by_week and _asked(request):
            made_of = (found.by_week, found.expected, sheet.units)
            chart = _chart((key, *made_of), lambda: harvest_chart(plan, names, aim=key))
    href = planting_href(sheet)
    return show(
        request,
        sheet,
        "aim",
        key,
        row=row,
        bar=bar,
        working=working,
        serving=[(one, href(one.key)) for one in _serving(sheet, key)],
        chart=chart,
        ask_chart=sheet.query(chart="weeks"),
    )


def _asked(request: HttpRequest) -> bool:
    return request.GET.get("chart") == "weeks"


def _chart(made_of: tuple[Hashable, ...], draw: Callable[[], Chart]) -> Chart:
    """The chart of these figures; drawing one takes longer than showing a page."""
    chart: Chart = _charts.get(made_of, draw)
    return chart


def _bars(sheet: Sheet) -> tuple[AimBar, ...]:
    return aim_bars(sheet.plan, sheet.names) if sheet.plan else ()


def _is_here(bar: AimBar, sheet: Sheet) -> bool:
    """Whether something in the bed chosen serves it, and it is wanted in the weeks chosen."""
    if sheet.bed and all(one.bed != sheet.bed for one in _serving(sheet, bar.aim.aim)):
        return False
    row = next((one for one in sheet.holding.aims if one.key == bar.aim.aim), None)
    return row is None or _is_wanted(row, sheet)


def _is_wanted(row: Aim, sheet: Sheet) -> bool:
    if sheet.first is None or sheet.last is None:
        return True
    return (row.start is None or row.start <= sheet.last) and (
        row.end is None or row.end >= sheet.first
    )


def _serving(sheet: Sheet, key: str) -> list[PlannedPlanting]:
    found = [one for one in sheet.plantings.values() if key in one.aims]
    return sorted(found, key=lambda one: (one.ground_from, one.bed, one.start_m, one.key))


def _prices(sheet: Sheet) -> list[ShadowPrice]:
    """What one more of what is scarce would bring, the most first."""
    prices = sheet.plan.solver.shadow_prices if sheet.plan else ()
    return sorted(prices, key=lambda one: -one.gain)[:PRICES]
