import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science import seed_life as sl
from perennate.science.seed_life import LifeConstants

# Ellis and others 2007; Ellis and others 1982 with Dickie and others 1990; Ellis 1988.
RICE = LifeConstants(8.242, 4.345, 0.0307, 0.000501)
SOYBEAN = LifeConstants(7.525, 4.086, 0.0329, 0.000478)
SOYBEAN_1988 = LifeConstants(7.292, 3.996, 0.0295, 0.000491)
CHICKPEA = LifeConstants(8.901, 4.847, 0.0329, 0.000478)
ONION = LifeConstants(6.975, 3.47, 0.04, 0.000428, dry_limit=3.5)

MOISTURE = st.floats(5, 13.9)
WARMTH = st.floats(-20, 90)
SPECIES = st.builds(
    LifeConstants,
    st.floats(4, 11),
    st.floats(1, 7),
    st.floats(0.025, 0.06),
    st.floats(0.0003, 0.0006),
)


@pytest.mark.parametrize(
    ("constants", "moisture", "temperature", "days"),
    [
        (RICE, 10, 5, 5382.388),
        (SOYBEAN, 8, -18, 18719.85),
        (SOYBEAN_1988, 8, -18, 11354.51),
    ],
)
def test_printed_days_to_lose_a_probit(constants, moisture, temperature, days):
    # viabilitymetrics, reference page of the sigma of storage.
    assert sl.sigma_days(moisture, temperature, constants) == pytest.approx(days, rel=1e-6)


def test_printed_viability_after_a_year():
    # viabilitymetrics, reference page of the final viability: rice from 98 %, 10 %, 5 degC.
    sigma = sl.sigma_days(10, 5, RICE)
    of_most = sl.deviate(0.98) - 365 / sigma
    assert sl.share_alive(of_most) == pytest.approx(0.9764797, abs=5e-7)
    of_all = sl.deviate_of_test(50, 50) - 365 / float(sigma)
    assert sl.share_alive(of_all) == pytest.approx(0.9939294, abs=5e-7)


def test_printed_times_in_store():
    sigma = sl.sigma_days(10, 5, RICE)
    assert sl.days_until(0.95, sl.deviate(0.98), sigma) == pytest.approx(2200.833, abs=1e-3)
    full = sl.days_until(0.95, sl.deviate_of_test(50, 50), sigma)
    assert full == pytest.approx(5010.872, abs=1e-3)
    lasting = sl.days_until(0.5, sl.deviate(0.98), sl.sigma_days(5, -20, CHICKPEA))
    assert lasting == pytest.approx(1960829, rel=1e-6)


def test_printed_moisture_and_temperature_that_keep_seed_so_long():
    lost = float(sl.deviate(0.98) - sl.deviate(0.95))
    assert sl.moisture_for(3650, 5, lost, RICE) == pytest.approx(8.900918, abs=5e-7)
    assert sl.temperature_for(3650, 8, lost, RICE) == pytest.approx(10.252, abs=5e-4)


def test_printed_move_to_another_temperature():
    def longer(before, after):
        # Dickie and others 1990: the constants of temperature hold for many species
        return float(sl.sigma_days(8, after, SOYBEAN) / sl.sigma_days(8, before, SOYBEAN))

    assert 250 * longer(60, 45) == pytest.approx(4408.492, abs=1e-3)
    # The rule of thumb of a doubling for each 5 degC fails in the cold.
    assert longer(0, -5) == pytest.approx(1.42, abs=0.01)
    assert longer(40, 35) == pytest.approx(2.21, abs=0.01)


def test_printed_deviates():
    assert sl.deviate(0.25) == pytest.approx(-0.6744898, abs=5e-8)
    assert sl.deviate_of_test(50, 50) + 5 == pytest.approx(7.575829, abs=5e-7)
    assert sl.deviate_of_test(0, 50) + 5 == pytest.approx(2.424171, abs=5e-7)
    assert sl.share_alive([2, 1, 0, -1]) == pytest.approx([0.977, 0.841, 0.5, 0.159], abs=5e-4)


@given(SPECIES, MOISTURE, WARMTH, st.floats(0, 8), st.floats(0, 40))
def test_cooler_or_drier_never_shortens_life(species, moisture, warmth, drier, cooler):
    here = sl.sigma_days(moisture, warmth, species)
    # The temperature's part turns round at -CH / 2 CQ, which lies below -20 degC for such species.
    assert sl.sigma_days(moisture, max(-20.0, warmth - cooler), species) >= here
    assert sl.sigma_days(max(5.0, moisture - drier), warmth, species) >= here


@given(st.floats(0.02, 0.98), st.floats(0.02, 0.98), st.floats(10, 1e5))
def test_on_the_day_reckoned_the_share_is_reached(start, share, sigma):
    days = float(sl.days_until(share, sl.deviate(start), sigma))
    reached = sl.share_alive(sl.deviate(start) - days / sigma)
    assert reached == pytest.approx(min(start, share), abs=1e-9)


@pytest.mark.parametrize(
    ("moisture", "temperature", "says"),
    [
        (4.0, 20, "from 5 to 25 % moisture, not at 4"),
        (26, 20, "from 5 to 25 % moisture, not at 26"),
        (8, -21, "from -20 to 90 degC, not at -21"),
        (8, [20, 95], "from -20 to 90 degC, not at 20 to 95"),
        (15, -5, "drier than 14 %: ice would kill it"),
        (float("nan"), 20, "moisture"),
    ],
)
def test_it_refuses_to_go_beyond_its_limits(moisture, temperature, says):
    with pytest.raises(ValueError, match=says):
        sl.sigma_days(moisture, temperature, RICE)


def test_a_species_with_a_known_dry_limit_is_followed_down_to_it():
    assert sl.sigma_days(3.5, 20, ONION) > sl.sigma_days(5, 20, ONION)
    with pytest.raises(ValueError, match=r"from 3\.5 to 25 %"):
        sl.sigma_days(3.4, 20, ONION)
    assert sl.driest_useful([2, 6], ONION) == pytest.approx([3.5, 6])
    assert sl.driest_useful(2, RICE) == 5


def test_what_cannot_be_asked():
    with pytest.raises(ValueError, match="above 0 and below 1"):
        sl.deviate(1)
    with pytest.raises(ValueError, match="not 3 of 2"):
        sl.deviate_of_test(3, 2)
    with pytest.raises(ValueError, match="from 5 to 25 % moisture"):
        sl.moisture_for(365000, 40, 0.1, RICE)
    with pytest.raises(ValueError, match="no temperature"):
        sl.temperature_for(1e12, 20, 0.1, RICE)


def test_no_life_is_counted_on_that_nobody_has_seen():
    assert [sl.longest_reckoned_years(t) for t in (20, 10.5, 4, 0, -18)] == [10, 10, 25, 50, 50]


def test_the_equation_says_less_than_was_seen_in_an_open_room():
    # Nagel and Boerner 2010: half-lives at 20.3 degC and 50.5 %: pea 23, bean 21, maize 19 years.
    from perennate.science.seed_moisture import equilibrium_moisture

    seen = {
        (LifeConstants(9.858, 5.39, 0.0329, 0.000478), 0.017): 23,
        (LifeConstants(9.09, 4.761, 0.0329, 0.000478), 0.018): 21,
        (LifeConstants(10.562, 6.366, 0.0332, 0.000577), 0.045): 19,
    }
    for (constants, oil), years in seen.items():
        moisture = equilibrium_moisture(50.5, 20.3, oil)
        half = float(sl.days_until(0.5, sl.deviate(0.98), sl.sigma_days(moisture, 20.3, constants)))
        assert 1.5 < years / (half / 365) < 6
