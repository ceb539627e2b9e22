import pytest

from perennate.reckoner.water_report import read_analysis
from perennate.terms import BadInput


def problems(**cells):
    with pytest.raises(BadInput) as bad:
        read_analysis(cells)
    return {problem.column: problem.expected for problem in bad.value.problems}


def test_a_report_in_mixed_units_is_read_as_one():
    found = read_analysis(
        {
            "kind": "Well",
            "ec": "1,2 dS/m",
            "sodium": "3.5 meq/l",
            "calcium": "12 °dH",
            "magnesium": "2 grains/gal",
            "chloride": "60 ppm",
            "nitrate": "40 mg/l NO3",
            "iron": "< 0.05",
            "ph": "7,4",
            "boron": "",
        }
    )
    assert found.kind == "well"
    assert found.ec_ds_m == 1.2
    assert found.sodium_mg_l == pytest.approx(80.5, abs=0.1)
    assert found.calcium_mg_l == pytest.approx(85.8, abs=0.1)
    assert found.magnesium_mg_l == pytest.approx(34.2, abs=0.1)
    assert found.nitrate_n_mg_l == pytest.approx(9.04, abs=0.01)
    assert (found.iron_mg_l, found.ph, found.boron_mg_l) == (0.05, 7.4, None)


def test_the_names_of_a_water_source_are_read_too():
    found = read_analysis({"ec_ds_m": "450 uS/cm", "nitrate_n_mg_l": "5", "sar_adjusted": "3"})
    assert (found.ec_ds_m, found.nitrate_n_mg_l, found.sar_adjusted) == (0.45, 5.0, 3.0)


def test_hardness_stands_for_calcium_and_magnesium():
    found = read_analysis({"hardness": "150 mg/l CaCO3", "sodium": "20"})
    assert found.meq("calcium") == pytest.approx(3.0, rel=1e-3)
    assert found.magnesium_mg_l == 0.0
    shared = read_analysis({"hardness": "3 meq/l", "magnesium": "1 meq/l"})
    assert shared.meq("calcium") == pytest.approx(2.0)
    assert (
        "1 meq/l of the magnesium"
        in problems(hardness="0.5 meq/l", magnesium="1 meq/l")["hardness"]
    )


def test_nothing_measured_reads_as_nothing():
    assert read_analysis({}).measured == ()


@pytest.mark.parametrize(
    ("column", "typed", "meant"),
    [
        ("ph", "70", "7.0?"),
        ("ph", "7 mg/l", "without a unit"),
        ("ec", "450", "450 uS/cm, which is 0.45 dS/m, perhaps?"),
        ("ec", "450 dS/m", "450 uS/cm, which is 0.45 dS/m?"),
        ("ec", "450 mg/l", "told in dS/m"),
        ("ec", "1,234 uS/cm", "without a comma"),
        ("sodium", "-5", "5 without the minus?"),
        ("sodium", "a little", "a number with its unit"),
        ("sodium", "3 °dH", "told in mg/l"),
        ("nitrate", "40", "40 mg/l NO3 or 40 mg/l N"),
        ("nitrate", "40 ppm", "4.4 apart"),
        ("hardness", "150", "its unit too"),
        ("kind", "spring", "one of mains"),
        ("germs", "some", "one of untested"),
        ("salt", "3", "one of kind, ec"),
    ],
)
def test_each_doubt_is_one_sentence_with_the_likely_mistake(column, typed, meant):
    found = problems(**{column: typed})
    assert list(found) == [column]
    assert meant in found[column]


def test_every_doubt_is_told_at_once():
    found = problems(ph="70", ec="450", boron="-1", nitrate="40")
    assert set(found) == {"ph", "ec", "boron", "nitrate"}


def test_more_sodium_than_the_salt_allows_is_asked_after():
    assert "another unit" in problems(ec="0.5 dS/m", sodium="900")["sodium"]
