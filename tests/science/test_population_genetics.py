import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from perennate.science.population_genetics import (
    allele_kept,
    diversity_kept,
    effective_size_of_families,
    effective_size_of_selfers,
    effective_size_of_sexes,
    effective_size_over_generations,
    inbreeding_a_generation,
    inbreeding_of_selfers,
    plants_to_keep,
)


# Holsinger 2005, lecture notes: 1 and 10 print 3.6; the others are 4 Nm Nf / (Nm + Nf) exactly.
@pytest.mark.parametrize(
    ("males", "females", "size", "within"),
    [(1, 10, 3.6, 0.05), (10, 100, 36.3636, 5e-5), (25, 25, 50, 1e-9), (10, 40, 32, 1e-9)],
)
def test_unequal_sexes(males, females, size, within):
    assert float(effective_size_of_sexes(males, females)) == pytest.approx(size, abs=within)


def test_one_small_year_rules():
    # Printed: six sizes with a plain mean of 126.7 count as 30.8.
    assert effective_size_over_generations([10, 100, 50, 80, 20, 500]) == pytest.approx(
        30.8, abs=0.05
    )
    assert effective_size_over_generations([200, 200, 10, 200]) == pytest.approx(34.7826, abs=5e-5)


# Crow and Denniston 1988, (4 N - 2) / (Vk + 2).
@pytest.mark.parametrize(
    ("plants", "variance", "size"),
    [(50, 2, 49.5), (50, 0, 99.0), (50, 6, 24.75), (100, 10, 33.1667)],
)
def test_the_same_number_of_seeds_from_each_nearly_doubles_the_size(plants, variance, size):
    assert float(effective_size_of_families(plants, variance)) == pytest.approx(size, abs=5e-5)


# Crow and Kimura 1970, N / (1 + F) with F = s / (2 - s).
@pytest.mark.parametrize(
    ("selfing", "size", "inbreeding"),
    [(0.0, 100.0, 0.0), (0.5, 75.0, 0.333333), (0.9, 55.0, 0.818182), (1.0, 50.0, 1.0)],
)
def test_selfing_halves_the_size_at_most(selfing, size, inbreeding):
    assert float(effective_size_of_selfers(100, selfing)) == pytest.approx(size)
    assert float(inbreeding_of_selfers(selfing)) == pytest.approx(inbreeding, abs=5e-7)


def test_inbreeding_of_a_nearly_selfing_crop():
    assert float(inbreeding_of_selfers(0.95)) == pytest.approx(0.904762, abs=5e-7)


# Wright 1931, (1 - 1 / (2 Ne))^t.
@pytest.mark.parametrize(
    ("size", "generations", "kept"),
    [
        (1, 1, 0.5),
        (2, 1, 0.75),
        (5, 1, 0.9),
        (10, 1, 0.95),
        (20, 1, 0.975),
        (50, 1, 0.99),
        (100, 1, 0.995),
        (10, 10, 0.598737),
        (20, 10, 0.776330),
        (50, 10, 0.904382),
        (100, 10, 0.951110),
        (50, 100, 0.366032),
    ],
)
def test_diversity_kept(size, generations, kept):
    assert float(diversity_kept(size, generations)) == pytest.approx(kept, abs=5e-7)


def test_fifty_plants_hold_inbreeding_to_one_in_a_hundred():
    assert float(inbreeding_a_generation(50)) == pytest.approx(0.01)
    assert float(inbreeding_a_generation(100)) == pytest.approx(0.005)


# Marshall and Brown 1975, 1 - (1 - q)^(2 n) for plants that outcross.
@pytest.mark.parametrize(
    ("frequency", "plants", "kept"),
    [
        (0.05, 1, 0.0975),
        (0.05, 10, 0.641514),
        (0.05, 20, 0.871488),
        (0.05, 30, 0.953930),
        (0.05, 50, 0.994079),
        (0.05, 100, 0.999965),
        (0.01, 50, 0.633968),
        (0.01, 100, 0.866020),
        (0.01, 150, 0.950959),
        (0.1, 15, 0.957609),
        (0.1, 40, 0.999782),
        (0.25, 10, 0.996829),
        (0.5, 5, 0.999023),
    ],
)
def test_alleles_that_outcrossed_plants_carry(frequency, plants, kept):
    assert allele_kept(frequency, plants) == pytest.approx(kept, abs=5e-7)


# The same, 1 - (1 - q)^n for plants that are pure lines.
@pytest.mark.parametrize(
    ("frequency", "plants", "kept"),
    [(0.05, 30, 0.785361), (0.05, 59, 0.951505), (0.01, 100, 0.633968), (0.1, 29, 0.952899)],
)
def test_alleles_that_pure_lines_carry(frequency, plants, kept):
    assert allele_kept(frequency, plants, inbreeding=1.0) == pytest.approx(kept, abs=5e-7)


@pytest.mark.parametrize(
    ("frequency", "surety", "genes", "outcrossed"),
    [
        (0.05, 0.95, 59, 30),
        (0.05, 0.99, 90, 45),
        (0.01, 0.95, 299, 150),
        (0.1, 0.95, 29, 15),
        (0.03, 0.95, 99, 50),
        (0.25, 0.95, 11, 6),
    ],
)
def test_genes_and_plants_needed(frequency, surety, genes, outcrossed):
    assert plants_to_keep(frequency, surety) == outcrossed
    assert plants_to_keep(frequency, surety, inbreeding=1.0) == genes


@pytest.mark.parametrize(
    ("alleles", "plants", "kept"),
    [(10, 60, 0.978977), (10, 100, 0.999650), (150, 100, 0.994756), (150, 160, 0.999989)],
)
def test_many_loci_keep_their_rare_allele(alleles, plants, kept):
    assert allele_kept(0.05, plants, alleles=alleles) == pytest.approx(kept, abs=5e-7)


def test_the_reckoned_numbers_lie_below_those_of_published_surveys():
    # Crossa 1989: 40 plants keep alleles above 10 %, 100 keep 5 %, 300 to 400 keep 1 %; these
    # samples are surer than 95 % of one allele.
    for frequency, plants in ((0.10, 40), (0.05, 100), (0.01, 300)):
        assert allele_kept(frequency, plants) > 0.95


def wright_fisher(frequency, plants, generations):
    """Chance that the allele is still there, from the whole distribution of its copies."""
    genes = 2 * plants
    copies = np.arange(genes + 1)
    chance = stats.binom.pmf(copies, genes, frequency)
    step = stats.binom.pmf(copies[None, :], genes, copies[:, None] / genes)
    for _ in range(generations - 1):
        chance = chance @ step
    return 1.0 - chance[0]


@pytest.mark.parametrize(("frequency", "plants"), [(0.05, 30), (0.05, 100), (0.02, 80), (0.2, 10)])
@pytest.mark.parametrize("generations", [1, 2, 5, 10])
def test_over_generations_it_stays_below_the_wright_fisher_model(frequency, plants, generations):
    exact = wright_fisher(frequency, plants, generations)
    found = allele_kept(frequency, plants, generations=generations)
    assert found <= exact + 1e-12
    assert found == pytest.approx(exact, abs=0.12)


shares = st.floats(0.001, 0.5)


@given(shares, st.integers(1, 500), st.floats(0, 1), st.integers(1, 20))
def test_more_plants_keep_more_and_more_generations_keep_less(q, plants, inbred, generations):
    kept = allele_kept(q, plants, inbred, generations)
    assert 0.0 <= kept <= 1.0
    assert allele_kept(q, plants + 1, inbred, generations) >= kept - 1e-12
    assert allele_kept(q, plants, inbred, generations + 1) <= kept + 1e-12
    assert allele_kept(q, plants, 1.0, generations) <= kept + 1e-12


@given(st.floats(0.01, 0.5), st.floats(0.5, 0.99), st.floats(0, 1), st.integers(1, 8))
def test_the_fewest_plants_are_enough_and_one_less_is_not(q, surety, inbred, generations):
    few = plants_to_keep(q, surety, inbred, generations)
    assert allele_kept(q, few, inbred, generations) >= surety - 1e-9
    if few > 1:
        assert allele_kept(q, few - 1, inbred, generations) < surety


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: effective_size_of_sexes(0, 5), "more than 0"),
        (lambda: effective_size_of_families(5, -1), "variance of -1"),
        (lambda: inbreeding_of_selfers(1.5), "0 to 1"),
        (lambda: allele_kept(0.0, 10), "between 0 and 1"),
        (lambda: allele_kept(0.1, 10, generations=0), "1 or more"),
        (lambda: plants_to_keep(0.1, 1.0), "between 0 and 1"),
        (lambda: plants_to_keep(1e-6, 0.999, generations=50), "1000000 plants"),
        (lambda: effective_size_over_generations([]), "more than 0"),
    ],
)
def test_what_cannot_be_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()
