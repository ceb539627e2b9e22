import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perennate.science.covers import COVERS, MULCHES, evaporation_under_mulch
from perennate.science.reference_evapotranspiration import reference_evapotranspiration


def test_half_of_the_evaporation_is_left_under_a_full_cover_of_straw() -> None:
    """FAO-56, chapter 10: 5 % less for each 10 % of the ground."""
    assert float(evaporation_under_mulch("organic")) == 0.5
    assert float(evaporation_under_mulch("organic", 0.1)) == pytest.approx(0.95)
    assert float(evaporation_under_mulch("none")) == 1.0


def test_volcanic_gravel_by_depth() -> None:
    """Diaz, Jimenez and Tejedor 2005: 2, 5 and 10 cm cut evaporation by 52, 83 and 92 %."""
    left = evaporation_under_mulch("gravel", 1.0, [0, 2, 5, 10, 30])
    assert left == pytest.approx([1.0, 0.48, 0.17, 0.08, 0.08])


def test_plastic_leaves_between_a_fifth_and_a_half() -> None:
    """FAO-56, table 25: 50 to 80 % less."""
    assert 0.2 <= float(evaporation_under_mulch("plastic")) <= 0.5


@given(
    kind=st.sampled_from(MULCHES),
    share=st.floats(0, 1),
    depth=st.floats(0, 30),
    more=st.floats(0, 10),
)
def test_more_mulch_never_lets_more_water_go(
    kind: str, share: float, depth: float, more: float
) -> None:
    left = float(evaporation_under_mulch(kind, share, depth))
    assert 0.0 <= float(evaporation_under_mulch(kind, share, depth + more)) <= left <= 1.0
    assert float(evaporation_under_mulch(kind, min(share + 0.1, 1.0), depth)) <= left
    assert float(evaporation_under_mulch(kind, 0.0, depth)) == 1.0


def test_beds_side_by_side_may_lie_under_mulch_of_unlike_depth() -> None:
    left = evaporation_under_mulch("organic", np.array([1.0, 0.5]), np.array([5.0, 2.5]))
    assert left == pytest.approx([0.5, 0.875])


@pytest.mark.parametrize(
    ("kind", "share", "depth", "said"),
    [
        ("organic", 40.0, 5.0, "is it in per cent"),
        ("organic", -0.1, 5.0, "between 0 and 1"),
        ("organic", 1.0, -2.0, "must not be negative"),
        ("peat moss", 1.0, 5.0, "known are none, organic, plastic, gravel"),
    ],
)
def test_a_mulch_that_cannot_be_is_refused(
    kind: str, share: float, depth: float, said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        evaporation_under_mulch(kind, share, depth)


@pytest.mark.parametrize("name", ["shade", "fleece", "rain cover"])
def test_the_rule_of_thumb_lies_by_what_light_and_wind_give(name: str) -> None:
    """The share of the open demand, reckoned for a clear summer's day, against the rule."""
    cover = COVERS[name]

    def demand(light: float, wind: float) -> float:
        day = reference_evapotranspiration(
            15.0,
            28.0,
            42.0,
            190,
            100.0,
            solar_radiation=24.0,
            rhmean=55.0,
            wind=2.0,
            light_share=light,
            wind_share=wind,
        )
        return float(day.et0)

    share = demand(cover.light, cover.wind) / demand(1.0, 1.0)
    assert share == pytest.approx(cover.et0, abs=0.12)


def test_a_greenhouse_is_warmer_than_light_and_wind_alone_would_say() -> None:
    """Amiri, Abedi-Koupai and Eslamian 2018: grass in a glasshouse, 64 % of the outdoor water."""
    assert COVERS["greenhouse"].own_air
    assert COVERS["greenhouse"].et0 == 0.64
