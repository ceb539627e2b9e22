"""What a germination test shows, how many seeds one takes, and how fast they came."""

import re
from collections.abc import Callable, Sequence

from perennate.catalogue.model import Crop
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.science.counts import number_to_start, rate_from_test, wilson_interval
from perennate.science.germination_tests import (
    exact_interval,
    fewest_that_show,
    fit_course,
    greatest_range,
    mean_germination_time,
    most_that_show_below,
    seeds_each,
    seeds_for_precision,
    shown_at_least,
    speed_of_germination,
    time_to_half,
)
from perennate.terms import BadInput, Problem, text

NAME = "germination-test"
USUAL_SHARE = 0.8
FEW_SEEDS = 50
_COUNT = re.compile(r"(?P<day>\d+(?:[.,]\d+)?)\s*:\s*(?P<came>\d+)")
INPUTS = (
    Input("tested", "int", "", 1, 100_000, optional=True),
    Input("sprouted", "int", "", 0, 100_000, optional=True),
    Input("counts", "text", optional=True),
    Input("replicates", "text", optional=True),
    Input("crop", "crop", optional=True),
    Input("standard", "float", "%", 1, 99, optional=True),
    Input("precision", "float", "%", 0.5, 45, default="10"),
    Input("expected", "float", "%", 0, 100, optional=True),
    Input("surety", "float", "%", 50, 99.9, default="95"),
    Input("wanted", "int", "", 1, 100_000, default="10"),
)


@reckoner(NAME, INPUTS)
def germination_test(
    tested: int | None,
    sprouted: int | None,
    counts: str | None,
    replicates: str | None,
    crop: Crop | None,
    standard: float | None,
    precision: float,
    expected: float | None,
    surety: float,
    wanted: int,
) -> list[Answer]:
    """Limits of the share alive, the standard met or not, replicates, speed; seeds to test, to sow.

    Raises BadInput for counts and replicates that do not fit the test.
    """
    days, came = _counts(counts)
    parts = _replicates(replicates)
    good = _sprouted(tested, sprouted, came, parts)
    sure = surety / 100
    likely = USUAL_SHARE if expected is None else expected / 100
    if expected is None and good is not None and tested is not None:
        likely = good / tested
    number = seeds_for_precision(likely, precision / 100, sure)
    plan = text("reckoner.germtest.plan", expected=likely, precision=precision / 100, surety=sure)
    answers = [Answer("seeds to test", number, None, None, "seeds", (plan,), ("wilson-1927",))]
    if good is None or tested is None:
        return answers
    answers = [*_limits(good, tested, sure), *answers, _to_sow(good, tested, wanted, sure)]
    asked, source = _standard(crop, standard)
    if asked is not None:
        answers.append(_against(good, tested, asked, sure, source))
    if parts:
        answers.append(_agree(parts, tested))
    if days:
        answers += _speed(days, came, tested)
    return answers


def _limits(good: int, tested: int, sure: float) -> list[Answer]:
    low, high = wilson_interval(good, tested, sure)
    least, most = exact_interval(good, tested, sure)
    shown = shown_at_least(good, tested, sure)
    share = 100.0 * good / tested
    said = text("reckoner.germtest.share", good=good, tested=tested)
    limits = text("reckoner.germtest.limits", surety=sure)
    exact = text("reckoner.germtest.exact", surety=sure)
    one_sided = text("reckoner.germtest.shown", least=shown, surety=sure)
    cautions = [text("reckoner.germtest.sample")]
    if tested < FEW_SEEDS:
        cautions.append(text("reckoner.germtest.few", tested=tested, low=low, high=high))
    return [
        Answer(
            "germination",
            share,
            100 * low,
            100 * high,
            "%",
            (said, limits),
            ("wilson-1927",),
            tuple(cautions),
        ),
        Answer(
            "germination, exact limits",
            share,
            100 * least,
            100 * most,
            "%",
            (exact,),
            ("clopper-pearson-1934",),
        ),
        Answer(
            "shown at least", 100 * shown, None, None, "%", (one_sided,), ("clopper-pearson-1934",)
        ),
    ]


def _to_sow(good: int, tested: int, wanted: int, sure: float) -> Answer:
    """Seeds from which `wanted` sprout with the surety, the doubt of the test counted in."""
    rate = rate_from_test(good, tested)
    name, cited = "seeds to sow", ("binomial",)
    try:
        seeds, even = (number_to_start(wanted, rate, share) for share in (sure, 0.5))
    except ValueError:
        told = text("reckoner.germtest.hopeless", wanted=wanted)
        return Answer(name, "not reckoned", None, None, "", (told,), cited)
    told = text("reckoner.germtest.sow", wanted=wanted, surety=sure)
    later = text("reckoner.germtest.field")
    return Answer(name, seeds, min(even, seeds), None, "seeds", (told,), cited, (later,))


def _standard(crop: Crop | None, standard: float | None) -> tuple[float | None, str]:
    if standard is not None:
        return standard / 100, "given"
    figure = None if crop is None else crop.figure("germination_standard")
    return (None, "") if figure is None else (figure.value, figure.source)


def _against(good: int, tested: int, standard: float, sure: float, source: str) -> Answer:
    enough = fewest_that_show(standard, tested, sure)
    below = most_that_show_below(standard, tested, sure)
    verdict = "not settled"
    if enough is not None and good >= enough:
        verdict = "shown"
    elif below is not None and good <= below:
        verdict = "shown to be below"
    told = text("reckoner.germtest.never", tested=tested, standard=standard, surety=sure)
    if enough is not None:
        told = text(
            "reckoner.germtest.enough", enough=enough, tested=tested, standard=standard, surety=sure
        )
    cited = ("clopper-pearson-1934", source)
    law = text("reckoner.germtest.law")
    return Answer("standard", verdict, None, None, "", (told,), cited, (law,))


def _agree(parts: Sequence[int], tested: int) -> Answer:
    each = seeds_each(parts, tested)
    average = 100.0 * sum(parts) / tested
    spread = 100.0 * (max(parts) - min(parts)) / each
    most = greatest_range(average, len(parts), each)
    said = text("reckoner.germtest.range", average=average, spread=spread, most=most)
    if spread <= most + 1e-9:
        return Answer("replicates agree", "yes", None, None, "", (said,), ("miles-1963",))
    again = text("reckoner.germtest.again")
    return Answer("replicates agree", "no", None, None, "", (said,), ("miles-1963",), (again,))


def _speed(days: Sequence[float], came: Sequence[int], tested: int) -> list[Answer]:
    """Answers on speed; those that the counts are too few for are left out, with their reason."""
    if not sum(came):
        return []
    mean, variance = mean_germination_time(days, came)
    off = (variance / sum(came)) ** 0.5
    said = text("reckoner.germtest.mean", error=off)
    answers = [
        Answer(
            "mean time to sprout",
            mean,
            mean - 1.2816 * off,
            mean + 1.2816 * off,
            "d",
            (said,),
            ("germination-speed",),
        )
    ]
    try:
        half = time_to_half(days, came)
        told = text("reckoner.germtest.half")
        answers.append(
            Answer("half have come by", half, None, None, "d", (told,), ("coolbear-1984",))
        )
    except ValueError:
        told = text("reckoner.germtest.too_soon", day=days[0])
        answers.append(
            Answer("half have come by", "not seen", None, None, "", (told,), ("coolbear-1984",))
        )
    index = text("reckoner.germtest.index")
    speed = speed_of_germination(days, came)
    answers.append(
        Answer("speed of germination", speed, None, None, "1/d", (index,), ("germination-speed",))
    )
    if sum(1 for count in came if count) >= 3:
        course = fit_course(days, came, tested)
        curve = text(
            "reckoner.germtest.course",
            half=course.half,
            steepness=course.steepness,
            error=course.error,
        )
        shape = text("reckoner.germtest.ninety", early=course.day_of(0.1), late=course.day_of(0.9))
        answers.append(
            Answer(
                "sprout in the end, by the curve",
                100 * course.final,
                None,
                None,
                "%",
                (curve, shape),
                ("el-kassaby-2008",),
            )
        )
    return answers


def _counts(typed: str | None) -> tuple[list[float], list[int]]:
    """Days and sprouts of each count, "5: 4; 6: 17". Raises BadInput."""
    days: list[float] = []
    came: list[int] = []
    problems = []
    for part in (part.strip() for part in (typed or "").split(";") if part.strip()):
        match = _COUNT.fullmatch(part)
        day = 0.0 if match is None else float(match["day"].replace(",", "."))
        if match is None or day <= 0:
            expected = 'day: sprouts of that day, as "5: 4"'
            problems.append(Problem(NAME, None, "counts", part, expected))
        elif days and day <= days[-1]:
            problems.append(Problem(NAME, None, "counts", part, "days one after another"))
        else:
            days.append(day)
            came.append(int(match["came"]))
    if problems:
        raise BadInput(problems)
    return days, came


def _replicates(typed: str | None) -> list[int]:
    parts = [part for part in re.split(r"[;\s]+", (typed or "").strip()) if part]
    if not all(part.isdecimal() for part in parts):
        raise refuse(NAME, "replicates", typed or "", 'sprouts of each, apart by ";", as "23; 25"')
    return [int(part) for part in parts]


def _sprouted(
    tested: int | None, sprouted: int | None, came: Sequence[int], parts: Sequence[int]
) -> int | None:
    """How many sprouted, from what is given; every contradiction at once in BadInput."""
    problems: list[Problem] = []

    def wrong(column: str, found: str, expected: str) -> None:
        problems.append(Problem(NAME, None, column, found, expected))

    told = {"sprouted": sprouted}
    told["counts"] = sum(came) if came else None
    told["replicates"] = sum(parts) if parts else None
    given = {column: number for column, number in told.items() if number is not None}
    good = next(iter(given.values()), None)
    if good is None:
        if tested is not None:
            wrong("sprouted", "nothing", f"how many of the {tested} tested sprouted")
    elif tested is None:
        wrong("tested", "nothing", "how many seeds were tested")
    else:
        for column, number in given.items():
            if number > tested:
                wrong(column, str(number), f"no more than the {tested} tested")
            elif number != good:
                wrong(column, str(number), f"{good} in all, as elsewhere")
        _check_parts(parts, tested, wrong)
    if problems:
        raise BadInput(problems)
    return good


def _check_parts(parts: Sequence[int], tested: int, wrong: Callable[[str, str, str], None]) -> None:
    if not parts:
        return
    shown = "; ".join(str(part) for part in parts)
    try:
        each = seeds_each(parts, tested)
        greatest_range(50.0, len(parts), each)
    except ValueError as uneven:
        wrong("replicates", shown, f"equal replicates: {uneven}")
        return
    if max(parts) > each:
        wrong("replicates", shown, f"no more than {each} in each")
