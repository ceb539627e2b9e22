"""How many plants keep a variety's diversity, and what few plants cost it.

Chances and shares from 0 to 1. `inbreeding` is Wright's F of the plants themselves, 0 where they
outcross and 1 where they are pure lines.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_MOST_PLANTS = 1_000_000


def effective_size_of_sexes(males: ArrayLike, females: ArrayLike) -> Floats:
    """Effective size of a dioecious stand, 4 Nm Nf / (Nm + Nf) (Wright 1931)."""
    father, mother = _counted(males, "males"), _counted(females, "females")
    return np.asarray(4.0 * father * mother / (father + mother))


def effective_size_over_generations(sizes: Sequence[float]) -> float:
    """Effective size over generations of unequal numbers: their harmonic mean (Wright 1931)."""
    found = _counted(sizes, "plants")
    return float(found.size / np.sum(1.0 / found))


def effective_size_of_families(plants: ArrayLike, variance: ArrayLike) -> Floats:
    """Effective size, (4 N - 2) / (Vk + 2), with variance Vk of the seeds kept from each plant.

    Crow and Denniston 1988, Evolution 42:482 (from memory). The same number from each plant makes
    Vk 0, and nearly doubles it; drawing at random makes Vk about 2. ValueError for a Vk below 0.
    """
    of, spread = _counted(plants, "plants"), np.asarray(variance, float)
    if not np.all(spread >= 0.0):
        raise ValueError(f"found a variance of {np.min(spread):g}; expected 0 or more")
    return np.asarray((4.0 * of - 2.0) / (spread + 2.0))


def effective_size_of_selfers(plants: ArrayLike, selfing: ArrayLike) -> Floats:
    """Effective size N / (1 + F) where a share of seed is selfed (Crow and Kimura 1970)."""
    return np.asarray(_counted(plants, "plants") / (1.0 + inbreeding_of_selfers(selfing)))


def inbreeding_of_selfers(selfing: ArrayLike) -> Floats:
    """Inbreeding F = s / (2 - s) that a share s of selfed seed settles at."""
    s = _chance(selfing, "selfing")
    return np.asarray(s / (2.0 - s))


def diversity_kept(effective_size: ArrayLike, generations: ArrayLike) -> Floats:
    """Share of heterozygosity kept, (1 - 1 / (2 Ne))^t (Wright 1931)."""
    return np.asarray((1.0 - inbreeding_a_generation(effective_size)) ** np.asarray(generations))


def inbreeding_a_generation(effective_size: ArrayLike) -> Floats:
    """What inbreeding grows by in one generation, 1 / (2 Ne) (Wright 1931)."""
    return np.asarray(1.0 / (2.0 * _counted(effective_size, "plants")))


def allele_kept(
    frequency: float,
    plants: float,
    inbreeding: float = 0.0,
    generations: int = 1,
    alleles: int = 1,
) -> float:
    """Chance, at the least, that alleles of a frequency are still there after generations.

    The plants carry G = 2 n / (1 + F) independent genes. The first generation draws them from the
    variety: 1 - (1 - q)^G (Marshall and Brown 1975). After that each gene leaves a Poisson number
    of copies with mean 1, and the chance that all die out follows as in a branching process. That
    is never below the chance of the Wright-Fisher model: there copies take each other's place, and
    an allele that all plants carry cannot be lost. `alleles`: so many, each at its own locus, are
    all to be kept.
    ValueError for values out of range.
    """
    if not 0.0 < frequency < 1.0:
        raise ValueError(f"found a frequency of {frequency:g}; expected between 0 and 1")
    if generations < 1 or alleles < 1:
        raise ValueError(f"found {generations} generations, {alleles} alleles; expected 1 or more")
    genes = float(2.0 * _counted(plants, "plants") / (1.0 + _chance(inbreeding, "inbreeding")))
    gone = 0.0
    for _ in range(generations - 1):
        gone = float(np.exp(gone - 1.0))
    lost = (1.0 - frequency * (1.0 - gone)) ** genes
    return float((1.0 - lost) ** alleles)


def plants_to_keep(
    frequency: float,
    surety: float,
    inbreeding: float = 0.0,
    generations: int = 1,
    alleles: int = 1,
) -> int:
    """Fewest plants of each generation that keep alleles of a frequency with this surety.

    See `allele_kept`. ValueError where a million plants would not do.
    """
    if not 0.0 < surety < 1.0:
        raise ValueError(f"found a surety of {surety:g}; expected between 0 and 1")

    def enough(plants: int) -> bool:
        return allele_kept(frequency, plants, inbreeding, generations, alleles) >= surety - 1e-12

    many = 1
    while not enough(many):
        many *= 2
        if many > _MOST_PLANTS:
            raise ValueError(f"found that {_MOST_PLANTS} plants do not keep it with {surety:g}")
    few = many // 2
    while many - few > 1:
        middle = (few + many) // 2
        few, many = (few, middle) if enough(middle) else (middle, many)
    return many


def _counted(numbers: ArrayLike, what: str) -> Floats:
    found = np.asarray(numbers, float)
    if not (found.size and np.all(found > 0.0) and np.all(np.isfinite(found))):
        raise ValueError(f"found {numbers!r} {what}; expected more than 0")
    return found


def _chance(share: ArrayLike, what: str) -> Floats:
    found = np.asarray(share, float)
    if not np.all((found >= 0.0) & (found <= 1.0)):
        raise ValueError(f"found {share!r} for {what}; expected 0 to 1")
    return found
