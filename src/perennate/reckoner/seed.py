"""How much seed to sow so that enough plants are left."""

import re
from math import ceil, prod
from typing import Literal

from perennate.catalogue.crop_care import nursery_stages
from perennate.catalogue.model import Crop
from perennate.planning.seed_counts import TEST_OF, germination_of
from perennate.reckoner.quantities import UnreadableError, read_quantity
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.science.counts import (
    Rate,
    chain_rate,
    number_to_start,
    rate_from_spread,
    rate_from_test,
    spread_of_success,
    survivals_of_losses,
    wilson_interval,
)
from perennate.terms import Text, text

NAME = "seed-to-sow"
STEPS = ("sprout to emerge", "emerge to prick out", "plug ready")
INPUTS = (
    Input("crop", "crop", optional=True),
    Input("plants", "int", "", 1, 1_000_000),
    Input("germination", "float", "%", 0.1, 100, optional=True),
    Input("tested", "int", "", 1, 100_000, optional=True),
    Input("surety", "float", "%", 1, 99.9, default="90"),
    Input("losses", "text", "%", optional=True),
    Input("losses_of", "choice", default="left", choices=("left", "start")),
    Input("cells", "int", "", 1, 2000, default="72"),
)


@reckoner(NAME, INPUTS)
def seed_to_sow(
    crop: Crop | None,
    plants: int,
    germination: float | None,
    tested: int | None,
    surety: float,
    losses: str | None,
    losses_of: Literal["left", "start"],
    cells: int,
) -> list[Answer]:
    """Seeds, grams and trays for `plants` with `surety`, applied once over the whole chain."""
    sprouting, working, sources = _germination(crop, germination, tested)
    steps, told, from_where = _later_steps(losses, losses_of)
    working += told
    chain = chain_rate([sprouting, *steps])
    sure = surety / 100
    seeds = _needed(plants, chain, sure)
    average = ceil(plants / chain.mean - 1e-9)
    working.append(text("reckoner.seed.average", plants=plants, share=chain.mean, seeds=average))
    working.append(text("reckoner.seed.sure", plants=plants, surety=sure, seeds=seeds))
    surest = max(sure, 0.99)
    working.append(text("reckoner.seed.spread", surety=surest))
    few, middle, many = spread_of_success(seeds, chain)
    sources += ["binomial", *from_where]
    cited, steps_told = tuple(sources), tuple(working)
    cautions = _cautions(crop, germination, tested)
    answers = [
        Answer(
            "seeds",
            seeds,
            min(seeds, _needed(plants, chain, 0.5)),
            _needed(plants, chain, surest),
            "seeds",
            steps_told,
            cited,
            cautions,
        ),
        Answer(
            "plants left",
            middle,
            few,
            many,
            "plants",
            (text("reckoner.seed.left", seeds=seeds, low=few, high=many),),
            cited,
        ),
        Answer(
            "seeds on average",
            average,
            None,
            None,
            "seeds",
            (text("reckoner.seed.average", plants=plants, share=chain.mean, seeds=average),),
            cited,
            (text("reckoner.seed.half_fail"),),
        ),
    ]
    if crop is None or "transplant" in crop.fact("sow_method", "transplant"):
        trays = ceil(seeds / cells)
        answers.append(
            Answer(
                "trays",
                trays,
                None,
                None,
                "trays",
                (text("reckoner.seed.trays", seeds=seeds, cells=cells, trays=trays),),
                cited,
            )
        )
    weight = crop.figure("seeds_per_gram") if crop is not None else None
    if weight is not None and weight.low > 0:
        grams = seeds / weight.value
        answers.insert(
            1,
            Answer(
                "grams",
                grams,
                seeds / weight.high,
                seeds / weight.low,
                "g",
                (text("reckoner.seed.grams", seeds=seeds, per_gram=weight.value, grams=grams),),
                (*cited, weight.source),
            ),
        )
    return answers


def _needed(plants: int, chain: Rate, surety: float) -> int:
    try:
        return number_to_start(plants, chain, surety)
    except ValueError as hopeless:
        raise refuse(NAME, "germination", f"{chain.mean:.2%} left", str(hopeless)) from None


def _germination(
    crop: Crop | None, germination: float | None, tested: int | None
) -> tuple[Rate, list[Text], list[str]]:
    if germination is not None:
        share = germination / 100
        if tested is not None:
            sprouted = share * tested
            if abs(sprouted - round(sprouted)) > 0.005 * tested + 1e-9:
                raise refuse(
                    NAME,
                    "germination",
                    f"{germination:g} % of {tested}",
                    f"a share that {tested} seeds can show",
                )
            low, high = wilson_interval(round(sprouted), tested)
            told = text(
                "reckoner.seed.tested",
                sprouted=round(sprouted),
                tested=tested,
                low=low,
                high=high,
            )
            return rate_from_test(round(sprouted), tested), [told], ["given"]
        return (
            _stated(share),
            [text("reckoner.seed.stated", share=share, tested=TEST_OF)],
            ["given", "assumed"],
        )
    if crop is None:
        raise refuse(NAME, "germination", "nothing", "a germination, or a crop")
    if tested is not None:
        raise refuse(NAME, "germination", "nothing", f"how many of the {tested} tested sprouted")
    believed = germination_of(crop, None)
    told = text(
        "reckoner.seed.believed",
        crop=crop.key,
        share=believed.rate.mean,
        low=believed.rate.quantile(0.1),
        high=believed.rate.quantile(0.9),
        basis=believed.basis,
    )
    return believed.rate, [told], [believed.source]


def _stated(share: float) -> Rate:
    """A germination stated without its number of seeds: as sure as a test of that many.

    Even a stated 100 % is not certain: half a seed of the test is taken to have failed.
    """
    return Rate(min(share, 1 - 0.5 / (TEST_OF + 1)), TEST_OF + 1.0)


def _later_steps(
    losses: str | None, losses_of: Literal["left", "start"]
) -> tuple[list[Rate], list[Text], list[str]]:
    if losses is None:
        known = nursery_stages()
        steps = [
            rate_from_spread(known[step].value, known[step].low, known[step].high) for step in STEPS
        ]
        told = text(
            "reckoner.seed.usual_losses",
            emerge=1 - steps[0].mean,
            prick=1 - steps[1].mean,
            plug=1 - steps[2].mean,
        )
        return steps, [told], [known[step].source for step in STEPS]
    shares = []
    for part in re.split(r"\s*[;\s]\s*", losses.strip()):
        try:
            shares.append(read_quantity(part, "%") / 100)
        except UnreadableError:
            raise refuse(NAME, "losses", losses, 'percentages apart by ";", as "10; 5"') from None
    try:
        survivals = survivals_of_losses(shares, losses_of)
    except ValueError as wrong:
        raise refuse(NAME, "losses", losses, f"losses that can be: {wrong}") from None
    code = f"reckoner.seed.losses_of_{losses_of}"
    return [Rate(share) for share in survivals], [text(code, left=prod(survivals))], ["given"]


def _cautions(crop: Crop | None, germination: float | None, tested: int | None) -> tuple[Text, ...]:
    found = []
    if tested is not None and tested < 50:
        found.append(text("reckoner.seed.few_tested", tested=tested))
    if germination is None and crop is not None:
        found.append(text("reckoner.seed.untested", crop=crop.key))
    found.append(text("reckoner.seed.treated"))
    return tuple(found)
