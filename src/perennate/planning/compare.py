"""What one plan has that another has not: after an edit, or from one version to the next."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from perennate.planning.plan import AimResult, Finding, Gravity, Plan, PlannedPlanting
from perennate.terms import Text, text
from perennate.terms.text import Value

NAMED_AT_MOST = 3
"""Of plantings that change alike so many are named; more are counted."""
LEAST_SHARE = 0.005
"""An aim that moves by less than half a percent is not spoken of."""
LEAST_KG = 0.05
GRAVITIES: tuple[Gravity, ...] = ("grave", "mind", "note")

SAID_SHORTLY = (
    "bed.overfull",
    "bed.kept_free",
    "bed.light",
    "frost.risk",
    "heat.risk",
    "season.short",
    "season.beyond",
    "soil.cold",
    "chain.late",
    "rotation.family",
    "hand.wished_left",
)
"""Rules with a short sentence of their own for a finding that is new (`compare.new.<rule>`) or
gone (`compare.gone.<rule>`); others say their own sentence when new, and are counted when gone."""
SAID_WITH_AIMS = ("aim.unmet",)


@dataclass(frozen=True, slots=True)
class Changed:
    """One planting before and after."""

    before: PlannedPlanting
    after: PlannedPlanting


@dataclass(frozen=True, slots=True)
class AimChange:
    """One aim in both plans; only those whose result differs are listed."""

    before: AimResult
    after: AimResult


@dataclass(frozen=True, slots=True)
class FindingChange:
    """A finding of the same rule about the same, which says other figures now."""

    before: Finding
    after: Finding


@dataclass(frozen=True, slots=True)
class PlanChange:
    """What differs between two plans. Plantings, jobs and aims are matched by key, findings by
    rule and what they are about. A planting may be moved, of other days, and of other size at
    once, and then stands in each list. Weights in kg, work in minutes."""

    added: tuple[PlannedPlanting, ...]
    gone: tuple[PlannedPlanting, ...]
    moved: tuple[Changed, ...]
    """Another bed or another place along it."""
    new_days: tuple[Changed, ...]
    new_size: tuple[Changed, ...]
    new_status: tuple[Changed, ...]
    findings_new: tuple[Finding, ...]
    findings_gone: tuple[Finding, ...]
    findings_changed: tuple[FindingChange, ...]
    aims: tuple[AimChange, ...]
    harvest_before: float
    harvest_after: float
    jobs_added: int
    jobs_gone: int
    minutes_before: float
    minutes_after: float

    @property
    def is_nothing(self) -> bool:
        """Whether both plans come to the same."""
        lists = (self.added, self.gone, self.moved, self.new_days, self.new_size, self.new_status)
        judged = (self.findings_new, self.findings_gone, self.findings_changed, self.aims)
        jobs = self.jobs_added or self.jobs_gone
        return not (any(lists) or any(judged) or jobs) and (
            self.harvest_before == self.harvest_after and self.minutes_before == self.minutes_after
        )


def compare(before: Plan, after: Plan) -> PlanChange:
    """What the plan after has that the plan before has not, and the other way."""
    old = {planting.key: planting for planting in before.plantings}
    new = {planting.key: planting for planting in after.plantings}
    both = [
        Changed(old[planting.key], planting)
        for planting in after.plantings
        if planting.key in old and planting != old[planting.key]
    ]
    had, has = _by_about(before.findings), _by_about(after.findings)
    aims = {aim.aim: aim for aim in before.aims}
    jobs_had, jobs_has = ({job.key for job in plan.jobs} for plan in (before, after))
    return PlanChange(
        added=tuple(planting for planting in after.plantings if planting.key not in old),
        gone=tuple(planting for planting in before.plantings if planting.key not in new),
        moved=tuple(pair for pair in both if _place(pair.before) != _place(pair.after)),
        new_days=tuple(pair for pair in both if _days(pair.before) != _days(pair.after)),
        new_size=tuple(pair for pair in both if _size(pair.before) != _size(pair.after)),
        new_status=tuple(pair for pair in both if pair.before.status != pair.after.status),
        findings_new=_without(has, had),
        findings_gone=_without(had, has),
        findings_changed=tuple(
            FindingChange(one, other)
            for about, found in has.items()
            for one, other in zip(had.get(about, ()), found, strict=False)
            if one != other
        ),
        aims=tuple(
            AimChange(aims[aim.aim], aim)
            for aim in after.aims
            if aim.aim in aims
            and (aim.met, aim.expected, aim.wanted)
            != (aims[aim.aim].met, aims[aim.aim].expected, aims[aim.aim].wanted)
        ),
        harvest_before=before.yields.harvest_kg.value,
        harvest_after=after.yields.harvest_kg.value,
        jobs_added=len(jobs_has - jobs_had),
        jobs_gone=len(jobs_had - jobs_has),
        minutes_before=round(sum(job.minutes.value for job in before.jobs), 1),
        minutes_after=round(sum(job.minutes.value for job in after.jobs), 1),
    )


About = tuple[str, tuple[str, ...]]


def _by_about(findings: Sequence[Finding]) -> dict[About, list[Finding]]:
    found: dict[About, list[Finding]] = {}
    for finding in findings:
        found.setdefault((finding.rule, finding.about), []).append(finding)
    return found


def _without(
    these: Mapping[About, Sequence[Finding]], those: Mapping[About, Sequence[Finding]]
) -> tuple[Finding, ...]:
    """Findings of the one that the other has not, the gravest first, else in their order."""
    left = [
        finding for about, found in these.items() for finding in found[len(those.get(about, ())) :]
    ]
    return tuple(sorted(left, key=lambda finding: GRAVITIES.index(finding.gravity)))


def _place(planting: PlannedPlanting) -> tuple[str, float]:
    return planting.bed, planting.start_m


def _days(planting: PlannedPlanting) -> tuple[object, ...]:
    return (
        planting.sow,
        planting.ground_from,
        planting.first_harvest,
        planting.last_harvest,
        planting.ground_to,
    )


def _size(planting: PlannedPlanting) -> tuple[float, float, int]:
    return planting.length_m, planting.width_m, planting.plants


def said(change: PlanChange) -> tuple[Text, ...]:
    """What the change comes to in a few sentences, the gravest first: new grave findings, aims
    that lose, other new findings, what was done to plantings, aims that gain, findings gone,
    harvest and work."""
    if change.is_nothing:
        return (text("compare.nothing"),)
    worse = sorted(
        (pair for pair in change.aims if pair.after.met <= pair.before.met - LEAST_SHARE),
        key=lambda pair: (pair.after.priority, pair.after.met - pair.before.met, pair.after.aim),
    )
    better = [pair for pair in change.aims if pair.after.met >= pair.before.met + LEAST_SHARE]
    return (
        *_new(change, ("grave",)),
        *(_aim(pair) for pair in worse),
        *_new(change, ("mind",)),
        *_plantings(change),
        *(_aim(pair) for pair in better),
        *_gone(change),
        *_new(change, ("note",)),
        *_sums(change),
    )


def _new(change: PlanChange, gravities: Sequence[Gravity]) -> Iterator[Text]:
    worse = [
        pair.after
        for pair in change.findings_changed
        if GRAVITIES.index(pair.after.gravity) < GRAVITIES.index(pair.before.gravity)
    ]
    counted: dict[str, int] = {}
    for finding in (*change.findings_new, *worse):
        if finding.gravity not in gravities or finding.rule in SAID_WITH_AIMS:
            continue
        counted[finding.rule] = counted.get(finding.rule, 0) + 1
        if counted[finding.rule] <= NAMED_AT_MOST:
            yield _of_finding("compare.new", finding) or finding.text
    more = sum(max(count - NAMED_AT_MOST, 0) for count in counted.values())
    if more:
        yield text("compare.more_new", count=more)


def _of_finding(stem: str, finding: Finding) -> Text | None:
    if finding.rule not in SAID_SHORTLY:
        return None
    given = dict(finding.text.params)
    return text(f"{stem}.{finding.rule}", **given)


def _gone(change: PlanChange) -> Iterator[Text]:
    counted = 0
    for finding in change.findings_gone:
        if finding.rule in SAID_WITH_AIMS:
            continue
        short = _of_finding("compare.gone", finding)
        if short is None or finding.gravity == "note":
            counted += 1
        else:
            yield short
    if counted:
        yield text("compare.findings_gone", count=counted)


def _aim(pair: AimChange) -> Text:
    crop = pair.after.crop
    given: dict[str, Value] = {"before": pair.before.met, "after": pair.after.met}
    if crop:
        return text("compare.aim_of_crop", crop=crop, aim=pair.after.aim, **given)
    return text("compare.aim", aim=pair.after.aim, **given)


def _plantings(change: PlanChange) -> Iterator[Text]:
    yield from _few("compare.gone_planting", [_named(one) for one in change.gone])
    yield from _few("compare.added", [_named(one) for one in change.added])
    yield from _few(
        "compare.moved",
        [
            {
                **_named(pair.after),
                "from_bed": pair.before.bed,
                "from_m": pair.before.start_m,
                "start_m": pair.after.start_m,
            }
            for pair in change.moved
        ],
    )
    yield from _few(
        "compare.new_days",
        [
            {
                **_named(pair.after),
                "before": pair.before.sow,
                "sow": pair.after.sow,
                "first": pair.after.first_harvest or pair.after.ground_to,
            }
            for pair in change.new_days
        ],
    )
    yield from _few(
        "compare.new_size",
        [
            {
                **_named(pair.after),
                "before": pair.before.length_m,
                "length": pair.after.length_m,
                "plants": pair.after.plants,
            }
            for pair in change.new_size
        ],
    )
    for status in ("fixed", "wished", "planned", "stands"):
        now = [_named(one.after) for one in change.new_status if one.after.status == status]
        yield from _few(f"compare.now_{status}", now)


def _named(planting: PlannedPlanting) -> dict[str, Value]:
    return {"crop": planting.crop, "bed": planting.bed or "the nursery", "sow": planting.sow}


def _few(code: str, params: Sequence[Mapping[str, Value]]) -> Iterator[Text]:
    """A sentence for each of a few plantings, one with their number for many."""
    if len(params) > NAMED_AT_MOST:
        yield text(f"{code}.many", count=len(params))
        return
    for given in params:
        yield text(code, **given)


def _sums(change: PlanChange) -> Iterator[Text]:
    if abs(change.harvest_after - change.harvest_before) >= LEAST_KG:
        yield text("compare.harvest", before=change.harvest_before, after=change.harvest_after)
    if change.jobs_added or change.jobs_gone:
        yield text(
            "compare.jobs",
            added=change.jobs_added,
            gone=change.jobs_gone,
            before=round(change.minutes_before / 60, 1),
            after=round(change.minutes_after / 60, 1),
        )
