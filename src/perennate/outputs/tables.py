"""A plan as tables of values: what the workbook writes and other sheets may take from."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from perennate.outputs.table import Column, Form, Row, Table, Value
from perennate.outputs.water_tables import water_tables
from perennate.planning.plan import Plan
from perennate.terms import Estimate, Text, text
from perennate.words import Units, convert, say, symbol, word
from perennate.words.lines import by_key, what_grows
from perennate.words.say import crop_name


def plan_tables(plan: Plan, names: Mapping[str, str] | None = None) -> tuple[Table, ...]:
    """Aims, plantings, jobs, needs, findings, harvest by week, water where the plan has any (by
    bed and week, and of plantings), and working, in this order.

    Lengths, areas and weights are converted to the holding's units, named in the heading.
    """
    teller = _Teller(plan.holding.units, names or {})
    return (
        teller.aims(plan),
        teller.plantings(plan),
        teller.jobs(plan),
        teller.needs(plan),
        teller.findings(plan),
        teller.harvest(plan),
        *water_tables(plan, names or {}),
        teller.working(plan),
    )


def _column(name: str, form: Form, unit: str = "", units: Units = "metric") -> Column:
    heading = word(f"column.{name}")
    return Column(f"{heading}, {symbol(unit, units)}" if unit else heading, form)


@dataclass(frozen=True, slots=True)
class _Teller:
    units: Units
    names: Mapping[str, str]

    def said(self, texts: Sequence[Text]) -> str:
        return "\n".join(say(one, units=self.units, names=self.names) for one in texts)

    def number(self, value: float, unit: str) -> float:
        return round(convert(value, unit, self.units)[0], 6)

    def percent(self, share: float | None) -> float | None:
        return None if share is None else self.number(share, "share")

    def ends(self, estimate: Estimate) -> tuple[float, float, float]:
        unit = estimate.unit
        return (
            self.number(estimate.value, unit),
            self.number(estimate.low, unit),
            self.number(estimate.high, unit),
        )

    def sign(self, unit: str) -> str:
        return symbol(unit, self.units)

    def in_unit(self, name: str, unit: str) -> Column:
        return _column(name, "number", unit, self.units)

    def aims(self, plan: Plan) -> Table:
        columns = (
            _column("aim", "text"),
            _column("kind", "text"),
            _column("crop", "text"),
            _column("priority", "whole"),
            _column("wanted", "number"),
            _column("expected", "number"),
            _column("low", "number"),
            _column("high", "number"),
            _column("unit", "text"),
            _column("met", "share"),
            _column("held_back", "text"),
            _column("notes", "text"),
        )
        rows = [
            Row(
                (
                    aim.aim,
                    aim.kind,
                    crop_name(aim.crop, self.names),
                    aim.priority,
                    self.number(aim.wanted, aim.unit),
                    *self.ends(aim.expected),
                    self.sign(aim.unit),
                    aim.met,
                    self.said(aim.held_back_by),
                    self.said(aim.notes),
                ),
                aim.expected.basis == "memory",
            )
            for aim in plan.aims
        ]
        return Table(word("sheet.aims"), columns, tuple(rows))

    def plantings(self, plan: Plan) -> Table:
        columns = (
            _column("bed", "text"),
            _column("crop", "text"),
            _column("variety", "text"),
            _column("raised", "text"),
            _column("status", "text"),
            _column("sow", "day"),
            _column("ground_from", "day"),
            _column("first_harvest", "day"),
            _column("last_harvest", "day"),
            _column("ground_to", "day"),
            self.in_unit("start", "m"),
            self.in_unit("length", "m"),
            self.in_unit("width", "m"),
            self.in_unit("area", "m2"),
            _column("layout", "text"),
            self.in_unit("spacing", "cm"),
            _column("rows", "whole"),
            _column("plants", "whole"),
            self.in_unit("harvest", "kg"),
            self.in_unit("low", "kg"),
            self.in_unit("high", "kg"),
            _column("basis", "text"),
            _column("source", "text"),
            _column("group", "text"),
            _column("rest", "number"),
            _column("frost", "share"),
            _column("heat", "share"),
            _column("aims", "text"),
            _column("why", "text"),
            _column("key", "text"),
        )
        ordered = sorted(plan.plantings, key=lambda one: (one.bed, one.ground_from, one.key))
        rows = [
            Row(
                (
                    one.bed,
                    crop_name(one.crop, self.names),
                    one.variety,
                    word(f"route.{one.route}"),
                    word(f"status.{one.status}"),
                    one.sow,
                    one.ground_from,
                    one.first_harvest,
                    one.last_harvest,
                    one.ground_to,
                    self.number(one.start_m, "m"),
                    self.number(one.length_m, "m"),
                    self.number(one.width_m, "m"),
                    self.number(one.area_m2, "m2"),
                    word(f"layout.{one.layout}"),
                    self.number(one.spacing_cm, "cm"),
                    one.rows,
                    one.plants,
                    *self.ends(one.harvest),
                    word(f"basis.{one.harvest.basis}"),
                    one.harvest.source,
                    one.rotation_group,
                    one.rest_years,
                    one.frost_risk,
                    one.heat_risk,
                    ", ".join(one.aims),
                    self.said(one.why),
                    one.key,
                ),
                one.harvest.basis == "memory",
            )
            for one in ordered
        ]
        return Table(word("sheet.plantings"), columns, tuple(rows))

    def jobs(self, plan: Plan) -> Table:
        columns = (
            _column("best", "day"),
            _column("earliest", "day"),
            _column("latest", "day"),
            _column("job", "text"),
            _column("crop", "text"),
            _column("place", "text"),
            _column("quantity", "number"),
            _column("unit", "text"),
            _column("minutes", "number"),
            _column("basis", "text"),
            _column("lost", "text"),
            _column("why", "text"),
            _column("go", "text"),
            _column("cautions", "text"),
            _column("key", "text"),
        )
        plantings = by_key(plan)
        rows = []
        for job in sorted(plan.jobs, key=lambda one: one.best):
            of = plantings.get(job.planting)
            rows.append(
                Row(
                    (
                        job.best,
                        job.earliest,
                        job.latest,
                        job.kind,
                        what_grows(of.crop, of.variety, self.names) if of else "",
                        job.place,
                        self.number(job.quantity, job.unit),
                        self.sign(job.unit),
                        job.minutes.value,
                        word(f"basis.{job.minutes.basis}"),
                        word("yes") if job.lost_if_missed else word("no"),
                        self.said((job.why,)),
                        self.said(job.go),
                        self.said(job.cautions),
                        job.key,
                    ),
                    job.minutes.basis == "memory",
                )
            )
        return Table(word("sheet.jobs"), columns, tuple(rows))

    def needs(self, plan: Plan) -> Table:
        columns = (
            _column("by", "day"),
            _column("kind", "text"),
            _column("item", "text"),
            _column("variety", "text"),
            _column("amount", "number"),
            _column("have", "number"),
            _column("to_get", "number"),
            _column("unit", "text"),
            _column("why", "text"),
            _column("key", "text"),
        )
        rows = [
            Row(
                (
                    need.by,
                    need.kind,
                    self.names.get(need.item, need.item),
                    need.variety,
                    self.number(need.amount, need.unit),
                    self.number(need.have, need.unit),
                    self.number(need.to_get, need.unit),
                    self.sign(need.unit),
                    self.said((need.why,)),
                    need.key,
                )
            )
            for need in sorted(plan.needs, key=lambda one: (one.by, one.key))
        ]
        return Table(word("sheet.needs"), columns, tuple(rows))

    def findings(self, plan: Plan) -> Table:
        columns = (
            _column("gravity", "text"),
            _column("rule", "text"),
            _column("finding", "text"),
            _column("remedy", "text"),
            _column("about", "text"),
            _column("source", "text"),
        )
        rows = [
            Row(
                (
                    word(f"gravity.{finding.gravity}"),
                    finding.rule,
                    self.said((finding.text,)),
                    self.said((finding.remedy,)),
                    ", ".join(finding.about),
                    finding.source,
                )
            )
            for finding in plan.findings
        ]
        return Table(word("sheet.findings"), columns, tuple(rows))

    def harvest(self, plan: Plan) -> Table:
        """One row a week with a harvest, one column a crop."""
        crops = sorted({one.crop for one in plan.plantings if one.by_week})
        by_week: dict[date, dict[str, float]] = {}
        for one in plan.plantings:
            for part in one.by_week:
                week = by_week.setdefault(part.week, {})
                week[one.crop] = week.get(one.crop, 0.0) + part.kg
        unit = self.sign("kg")
        columns = (
            _column("week", "day"),
            self.in_unit("whole", "kg"),
            *(Column(f"{crop_name(crop, self.names)}, {unit}", "number") for crop in crops),
        )
        rows = []
        for monday in sorted(by_week):
            of_crop = by_week[monday]
            kilograms = [of_crop.get(crop) for crop in crops]
            shown = [None if kg is None else self.number(kg, "kg") for kg in kilograms]
            whole = self.number(sum(of_crop[crop] for crop in sorted(of_crop)), "kg")
            rows.append(Row((monday, whole, *shown)))
        return Table(word("sheet.harvest"), columns, tuple(rows))

    def working(self, plan: Plan) -> Table:
        columns = (
            _column("what", "text"),
            _column("figure", "number"),
            _column("unit", "text"),
            _column("notes", "text"),
        )
        solver, yields = plan.solver, plan.yields
        lines: list[tuple[str, Value, str, str]] = [
            (word("working.version"), None, "", plan.version),
            (word("working.as_of"), None, "", plan.as_of.isoformat()),
            (word("working.start"), None, "", plan.start.isoformat()),
            (word("working.weeks"), plan.weeks, "", ""),
            (word("working.seed"), plan.seed, "", ""),
            (word("working.effort"), None, "", plan.effort),
            (
                word("working.climate"),
                None,
                "",
                word(f"climate.{plan.holding.climate_basis}")
                + "\n"
                + self.said(plan.holding.climate_notes),
            ),
            self._measured("working.harvest", yields.harvest_kg.value, "kg"),
            self._measured("working.per_area", yields.kg_per_m2, "kg/m2"),
            self._measured("working.energy", yields.kcal_per_m2, "kcal/m2"),
            self._measured("working.eaten", yields.eaten_kg, "kg"),
            self._measured("working.stored", yields.stored_kg, "kg"),
            self._measured("working.lost", yields.lost_kg, "kg"),
            (word("working.energy_share"), self.percent(yields.energy_share), "%", ""),
            (word("working.protein_share"), self.percent(yields.protein_share), "%", ""),
            (word("sheet.harvest"), None, "", self.said(yields.notes)),
            (word("working.status"), None, "", word(f"solver.{solver.status}")),
            (word("working.says"), None, "", self.said((solver.text,))),
            (word("working.objective"), solver.objective, "", ""),
            (word("working.bound"), solver.bound, "", ""),
            (word("working.gap"), self.percent(solver.gap), "%", ""),
            (word("working.gap_before"), self.percent(solver.gap_before_placing), "%", ""),
            (word("working.gap_after"), self.percent(solver.gap_after_placing), "%", ""),
            (word("working.sowings"), solver.sowings, "", ""),
            (word("working.columns"), solver.columns, "", ""),
            (word("working.rows"), solver.rows, "", ""),
            (word("working.nonzeros"), solver.nonzeros, "", ""),
        ]
        for price in solver.shadow_prices:
            what = text("working.price", per=price.per, scarce=price.scarce, where=price.where)
            lines.append((say(what), self.percent(price.gain), "%", self.said((price.text,))))
        return Table(word("sheet.working"), columns, tuple(Row(line) for line in lines))

    def _measured(self, code: str, value: float, unit: str) -> tuple[str, Value, str, str]:
        return word(code), self.number(value, unit), self.sign(unit), ""
