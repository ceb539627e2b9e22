"""All problems come at once, each fault once, and none that follows from another."""

from pathlib import Path

import pytest

from perennate.terms import BadInput, Problem

AIMS = "key,kind,crop,amount,unit,per,start,end,priority\n"
BEDS = "key,length_m,width_m,light,x_m\nA,6,1.2,full sun,0\n"


def problems_of(folder: Path, read) -> tuple[Problem, ...]:
    with pytest.raises(BadInput) as bad:
        read(folder)
    return bad.value.problems


def test_all_problems_come_in_one_go_in_order_of_file_and_row(small, read):
    folder = small(
        {
            "beds.csv": BEDS + "B,x,1.2,,\nC,3,y,,\n",
            "aims.csv": AIMS + "a,food,karrot,2,kg,,,,\nb,food,carrot,z,kg,,,,\n",
        }
    )
    places = [(problem.file, problem.row) for problem in problems_of(folder, read)]
    assert places == [("beds.csv", 3), ("beds.csv", 4), ("aims.csv", 2), ("aims.csv", 3)]


def test_a_bed_that_cannot_be_read_is_not_also_called_unknown(small, read):
    folder = small({"beds.csv": "key,length_m,width_m\nA,x,1.2\nB,3,1.2\n"})
    assert [problem.file for problem in problems_of(folder, read)] == ["beds.csv"]


def test_a_lost_key_column_does_not_make_every_planting_wrong(small, read):
    folder = small({"beds.csv": "length_m,width_m\n6,1.2\n"})
    assert [problem.column for problem in problems_of(folder, read)] == ["key"]


def test_broken_settings_do_not_make_the_dates_ambiguous(small, read):
    aims = AIMS + "a,food,carrot,2,kg,week,03/04/2026,2026-12-01,\n"
    folder = small({"holding.toml": "[site\n", "aims.csv": aims})
    assert [problem.file for problem in problems_of(folder, read)] == ["holding.toml"]


def test_no_folder_is_a_problem(tmp_path, read):
    (problem,) = problems_of(tmp_path / "nowhere", read)
    assert (problem.file, problem.found) == ("nowhere", "no such folder")
