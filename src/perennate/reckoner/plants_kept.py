"""How many plants to take seed from, so that a variety is not lost by the generations."""

from perennate.catalogue.crossing import Mating, mating
from perennate.catalogue.model import Crop
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.science.population_genetics import (
    allele_kept,
    diversity_kept,
    effective_size_of_families,
    effective_size_of_selfers,
    effective_size_of_sexes,
    inbreeding_a_generation,
    inbreeding_of_selfers,
    plants_to_keep,
)
from perennate.terms import Text, text

NAME = "plants-to-keep"
INPUTS = (
    Input("crop", "crop", optional=True),
    Input("frequency", "float", "%", 0.1, 99, default="5"),
    Input("surety", "float", "%", 1, 99.9, default="95"),
    Input("generations", "int", "", 1, 100, default="5"),
    Input("alleles", "int", "", 1, 10_000, default="1"),
    Input("selfing", "float", "%", 0, 100, optional=True),
    Input("plants", "int", "", 1, 1_000_000, optional=True),
    Input("males", "int", "", 1, 1_000_000, optional=True),
)
_LOSES_VIGOUR = ("high", "severe", "self incompatible")
_ONE_SEED_LOT = 10.0


@reckoner(NAME, INPUTS)
def plants_to_keep_it(
    crop: Crop | None,
    frequency: float,
    surety: float,
    generations: int,
    alleles: int,
    selfing: float | None,
    plants: int | None,
    males: int | None,
) -> list[Answer]:
    """Plants of each generation that keep alleles of a frequency, and what a number in hand keeps.

    Raises BadInput without crop or share of selfing, for males without plants or none of the
    other sex, and where no number would do.
    """
    found = None if crop is None else mating(crop.key)
    if crop is None and selfing is None:
        raise refuse(NAME, "crop", "nothing", "a crop, or the share of seed that is selfed")
    if males is not None and (plants is None or males >= plants):
        raise refuse(NAME, "males", str(males), "fewer than the plants, which must be given")
    (value, low, high), told, sources = _selfing(crop, found, selfing)
    q, sure = frequency / 100.0, surety / 100.0
    try:
        wanted, few, many = (
            plants_to_keep(q, sure, float(inbreeding_of_selfers(s)), generations, alleles)
            for s in (value, low, high)
        )
    except ValueError as hopeless:
        raise refuse(NAME, "frequency", f"{frequency:g} %", str(hopeless)) from None
    chance = text(
        "reckoner.kept.wanted",
        frequency=q,
        surety=sure,
        generations=generations,
        alleles=alleles,
        plants=wanted,
    )
    cautions = _cautions(crop, found)
    cited = (*sources, "marshall-brown-1975", "wright-1931")
    answers = [
        Answer("plants", wanted, few, many, "plants", (told, chance), cited, cautions),
    ]
    if found is not None:
        usual = found.plants
        working = (
            text(
                "reckoner.kept.usual",
                least=found.plants_least,
                low=usual.low,
                high=usual.high,
            ),
        )
        answers.append(
            Answer(
                "plants kept in practice",
                usual.low,
                usual.low,
                usual.high,
                "plants",
                working,
                (usual.source,),
            )
        )
    if plants is not None:
        answers += _in_hand(plants, males, value, q, generations, alleles, (told,), cited)
    return answers


def _selfing(
    crop: Crop | None, found: Mating | None, selfing: float | None
) -> tuple[tuple[float, float, float], Text, tuple[str, ...]]:
    """Share of seed that is selfed (value, low, high), how it is known, and from where."""
    if selfing is not None:
        share = selfing / 100.0
        return (share, share, share), text("reckoner.kept.selfing", share=share), ("given",)
    assert crop is not None
    if found is None:
        return (
            (1.0, 0.0, 1.0),
            text("reckoner.kept.selfing_unknown", crop=crop.key),
            ("assumed",),
        )
    rate = found.outcrossing
    told = text(
        "reckoner.kept.crop_selfing",
        crop=crop.key,
        share=1.0 - rate.value,
        low=1.0 - rate.high,
        high=1.0 - rate.low,
    )
    return (1.0 - rate.value, 1.0 - rate.high, 1.0 - rate.low), told, (rate.source,)


def _in_hand(
    plants: int,
    males: int | None,
    selfing: float,
    frequency: float,
    generations: int,
    alleles: int,
    told: tuple[Text, ...],
    cited: tuple[str, ...],
) -> list[Answer]:
    """What a number of plants keeps."""
    inbred = float(inbreeding_of_selfers(selfing))
    if males is None:
        size = float(effective_size_of_selfers(plants, selfing))
        how = text("reckoner.kept.effective", plants=plants, size=size)
    else:
        size = float(effective_size_of_sexes(males, plants - males))
        how = text("reckoner.kept.sexes", males=males, females=plants - males, size=size)
    of_genes = size * (1.0 + inbred)
    kept = allele_kept(frequency, of_genes, inbred, generations, alleles)
    equal = float(effective_size_of_families(plants, 0.0))
    cautions = (text("reckoner.kept.few"),) if size < _ONE_SEED_LOT else ()
    lasting = float(diversity_kept(size, generations))
    return [
        Answer(
            "chance that it is kept",
            100.0 * kept,
            None,
            None,
            "%",
            (*told, how, text("reckoner.kept.at_least", generations=generations)),
            cited,
        ),
        Answer(
            "effective size",
            size,
            None,
            None,
            "plants",
            (*told, how, text("reckoner.kept.equal", plants=plants, size=equal)),
            (*cited, "crow-denniston-1988"),
            cautions,
        ),
        Answer(
            "inbreeding each generation",
            100.0 * float(inbreeding_a_generation(size)),
            None,
            None,
            "%",
            (how, text("reckoner.kept.diversity", generations=generations, share=lasting)),
            ("wright-1931",),
            cautions,
        ),
    ]


def _cautions(crop: Crop | None, found: Mating | None) -> tuple[Text, ...]:
    cautions = [text("reckoner.kept.same_from_each")]
    if crop is not None and found is None:
        cautions.append(text("reckoner.kept.mating_unknown", crop=crop.key))
    if crop is not None and found is not None and found.sensitivity in _LOSES_VIGOUR:
        cautions.append(text("reckoner.kept.vigour", crop=crop.key))
    return tuple(cautions)
