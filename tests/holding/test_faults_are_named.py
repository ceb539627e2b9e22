"""Each fault in a holding folder gives one Problem that says where, what and what instead."""

import pytest

from perennate.terms import BadInput

PLANTINGS = "key,hand,crop,bed,sown,ground_from,ground_to,start_m,length_m,lot\n"
AIMS = "key,kind,crop,amount,unit,per,start,end,priority\n"
LOTS = "key,crop,kind,amount,unit,germination,parents,treated\n"
BEDS = "key,length_m,width_m,light,x_m\nA,6,1.2,full sun,0\n"
SITE = "[site]\nlatitude_deg = 47.1\nelevation_m = 300\n"

Fault = tuple[str, str | bytes | None, int | None, str | None, str, str]
"""File, its text, then row, column, and parts of found and expected of the one Problem."""

FAULTS: dict[str, Fault] = {
    # the folder
    "no settings": ("holding.toml", None, None, None, "no such file", "holding.toml"),
    "a misspelt table": ("bed.csv", "key\n", None, None, "a file of this name", "beds.csv"),
    "a table saved as a sheet": ("aims.xlsx", b"PK", None, None, "a file of this name", "aims.csv"),
    "a weather file that is not there": (
        "holding.toml",
        SITE + '[weather]\nfiles = ["mast.csv"]\n',
        5,
        "weather.files",
        '"mast.csv"',
        "a file that is there",
    ),
    # holding.toml
    "settings that are no settings": (
        "holding.toml",
        SITE.replace("47.1", "47,1"),
        2,
        None,
        '"latitude_deg = 47,1"',
        "decimal point",
    ),
    "settings in another code": ("holding.toml", b"# M\xf6hre\n", None, None, "0xf6", "UTF-8"),
    "an unknown setting": (
        "holding.toml",
        SITE + "hight_m = 3\n",
        4,
        "site.hight_m",
        "an unknown setting",
        "elevation_m",
    ),
    "an unknown part": ("holding.toml", SITE + "[sight]\n", 4, "sight", "unknown", "mean site?"),
    "no latitude": (
        "holding.toml",
        "[site]\nelevation_m = 3\n",
        1,
        "site.latitude_deg",
        "nothing",
        "degrees north",
    ),
    "a latitude beyond the pole": (
        "holding.toml",
        SITE.replace("47.1", "471"),
        2,
        "site.latitude_deg",
        "471",
        "less than or equal to 90",
    ),
    "a day that is not in the year": (
        "holding.toml",
        SITE + '[remembered]\nlast_frost = "31-05"\n',
        5,
        "remembered.last_frost",
        '"31-05"',
        '"05-15" for 15 May',
    ),
    "frost where there is none": (
        "holding.toml",
        SITE + '[remembered]\nno_frost = true\nlast_frost = "05-10"\n',
        5,
        "remembered.no_frost",
        "true, and a day of frost",
        "else false",
    ),
    "an unknown crop eaten": (
        "holding.toml",
        SITE + '[food]\neats = ["carrot", "karrot"]\n',
        5,
        "food.eats",
        '"karrot"',
        "carrot",
    ),
    "a person without age": (
        "holding.toml",
        SITE + '[[people]]\nname = "Ola"\nsex = "female"\nweight_kg = 60\n',
        4,
        "people.1.age_years",
        "nothing",
        "this setting",
    ),
    # the text of a table
    "bytes of no code": ("beds.csv", b"key,length_m\nA\x81,3\n", 2, None, "0x81", "UTF-8"),
    "an empty file": ("trees.csv", "", None, None, "nothing", "names of the columns"),
    "an open quotation mark": ("beds.csv", BEDS + '"C,3,1,,\n', 3, None, "not closed", "quot"),
    "a comma too many": ("beds.csv", BEDS + "C,4,5,1,2,,\n", 3, None, "7 cells", "5 cells"),
    # columns
    "an unknown column": (
        "beds.csv",
        "key,lenght_m,length_m,width_m\nA,1,6,1.2\n",
        1,
        "lenght_m",
        "an unknown column",
        "length_m?",
    ),
    "a bed's key under the heading bed": (
        "beds.csv",
        "bed,length_m,width_m\nA,6,1.2\n",
        1,
        "bed",
        "an unknown column",
        "did you mean key?",
    ),
    "a column twice": (
        "beds.csv",
        "key,length_m,width_m,width_m\nA,6,1.2,1.2\n",
        1,
        "width_m",
        "a second column",
        "one",
    ),
    "a missing column": ("beds.csv", "key,length_m\nA,6\n", 1, "width_m", "no such", "width_m"),
    "a column without a name": (
        "beds.csv",
        "key,length_m,width_m,\nA,6,1.2,wet\n",
        1,
        None,
        "a column 4 without a name",
        "a name",
    ),
    # cells
    "a cell left empty": ("beds.csv", BEDS + "B,,1.2,,\n", 3, "length_m", "nothing", "something"),
    "no number": ("beds.csv", BEDS + "B,long,1.2,,\n", 3, "length_m", '"long"', "a number"),
    "a range": ("beds.csv", BEDS + "B,3-5,1.2,,\n", 3, "length_m", '"3-5"', "a number"),
    "division by nothing": ("beds.csv", BEDS + "B,3,1/0,,\n", 3, "width_m", '"1/0"', "a number"),
    "the wrong kind of unit": ("beds.csv", BEDS + "B,3 kg,1,,\n", 3, "length_m", '"3 kg"', "cm"),
    "an unknown unit": ("beds.csv", BEDS + "B,3 ells,1,,\n", 3, "length_m", '"3 ells"', "ft"),
    "no length": ("beds.csv", BEDS + "B,0,1.2,,\n", 3, "length_m", '"0"', "from 0.1 up to 500 m"),
    "an unknown word": ("beds.csv", BEDS + "B,3,1,sunny,\n", 3, "light", '"sunny"', "half shade"),
    "the same key twice": ("beds.csv", BEDS + "A,3,1,,\n", 3, "key", "as in row 2", "its own"),
    "a control sign": ("beds.csv", BEDS + "B\x07,3,1,,\n", 3, "key", "B", "control characters"),
    "a number of two readings": (
        "aims.csv",
        AIMS + "a,food,carrot,1.234,kg,season,,,\n",
        2,
        "amount",
        '"1.234"',
        "1.2340 or 1234",
    ),
    "a date of two readings": (
        "aims.csv",
        AIMS + "a,food,carrot,2,kg,week,03/04/2026,2026-12-01,\n",
        2,
        "start",
        '"03/04/2026"',
        "reads in one way only",
    ),
    "a date of short year": (
        "aims.csv",
        AIMS + "a,food,carrot,2,kg,week,1.4.26,,\n",
        2,
        "start",
        '"1.4.26"',
        "2026-03-14",
    ),
    "a day the calendar lacks": (
        "aims.csv",
        AIMS + "a,food,carrot,2,kg,week,2027-02-29,,\n",
        2,
        "start",
        '"2027-02-29"',
        "the calendar",
    ),
    # aims
    "an unknown crop": (
        "aims.csv",
        AIMS + "a,food,karrot,2,kg,,,,\n",
        2,
        "crop",
        '"karrot"',
        "carrot",
    ),
    "an amount below zero": (
        "aims.csv",
        AIMS + "a,food,carrot,-2,kg,,,,\n",
        2,
        "amount",
        '"-2"',
        "from 0",
    ),
    "days out of order": (
        "aims.csv",
        AIMS + "a,food,carrot,2,kg,,2026-10-01,2026-07-01,\n",
        2,
        "end",
        '"2026-07-01"',
        "not before start",
    ),
    "an unknown kind of aim": (
        "aims.csv",
        AIMS + "a,foods,carrot,2,kg,,,,\n",
        2,
        "kind",
        '"foods"',
        "mean food?",
    ),
    "the unit of another aim": (
        "aims.csv",
        AIMS + "a,food,carrot,2,plants,,,,\n",
        2,
        "unit",
        '"plants"',
        "kg, servings",
    ),
    "two units": ("aims.csv", AIMS + "a,food,carrot,2 lb,kg,,,,\n", 2, "unit", '"kg"', "one unit"),
    "food without a crop": ("aims.csv", AIMS + "a,food,,2,kg,,,,\n", 2, "crop", "nothing", "food"),
    "nobody in the household": (
        "aims.csv",
        AIMS + "a,household,,0.3,share,,,,\n",
        2,
        "kind",
        "no people",
        "[[people]]",
    ),
    "a priority there is not": (
        "aims.csv",
        AIMS + "a,food,carrot,2,kg,,,,4\n",
        2,
        "priority",
        '"4"',
        "a whole number from 1 up to 3",
    ),
    "plants to sell some day": (
        "aims.csv",
        AIMS + "a,sell,tomato,12,plants,,,,\n",
        2,
        "end",
        "nothing",
        "ready",
    ),
    # lots and moves
    "a share above one": (
        "lots.csv",
        LOTS + "C1,carrot,seed,5,g,85,,\n",
        2,
        "germination",
        '"85"',
        "up to 1",
    ),
    "neither yes nor no": (
        "lots.csv",
        LOTS + "C1,carrot,seed,5,g,,,maybe\n",
        2,
        "treated",
        '"maybe"',
        "yes or no",
    ),
    "seed without a unit": (
        "lots.csv",
        LOTS + "C1,carrot,seed,5,,,,\n",
        2,
        "amount",
        '"5"',
        "unit",
    ),
    "half a seed": (
        "lots.csv",
        LOTS + "C1,carrot,seed,5,g,,,\nC2,carrot,seed,2.5,seeds,,,\n",
        3,
        "amount",
        '"2.5"',
        "a whole number",
    ),
    "an unknown parent": (
        "lots.csv",
        LOTS + "C1,carrot,seed,5,g,,C1; C0,\n",
        2,
        "parents",
        '"C0"',
        "the table lots",
    ),
    "more out than in": (
        "lot_moves.csv",
        "lot,day,change,unit\nC1,2026-01-10,-3000,mg\nC1,2026-01-12,-3000,mg\n",
        3,
        "change",
        "leaves -1000 mg",
        "at most 2000 mg",
    ),
    "a move in another unit": (
        "lot_moves.csv",
        "lot,day,change,unit\nC1,2026-01-10,-30,seeds\n",
        2,
        "unit",
        '"seeds"',
        "mg",
    ),
    "part of a milligram": (
        "lot_moves.csv",
        "lot,day,change,unit\nC1,2026-01-10,-0.5,mg\n",
        2,
        "change",
        '"-0.5"',
        "a whole number",
    ),
    "a move of an unknown lot": (
        "lot_moves.csv",
        "lot,day,change,unit\nC2,2026-01-10,-30,mg\n",
        2,
        "lot",
        '"C2"',
        "did you mean C1",
    ),
    # trees
    "a limb of no tree": ("limbs.csv", "key,tree,variety\nl,gat,Osk\n", 2, "tree", '"gat"', "gate"),
    # plantings
    "an unknown bed": (
        "plantings.csv",
        PLANTINGS + "p,past,kale,a,,2025-04-01,2025-06-01,,,\n",
        2,
        "bed",
        '"a"',
        "did you mean A",
    ),
    "an unknown lot": (
        "plantings.csv",
        PLANTINGS + "p,past,kale,A,,2025-04-01,2025-06-01,,,C9\n",
        2,
        "lot",
        '"C9"',
        "the table lots",
    ),
    "beyond the end of the bed": (
        "plantings.csv",
        PLANTINGS + "p,past,kale,B,,2025-04-01,2025-06-01,2,3,\n",
        2,
        "length_m",
        "2 m to 5 m",
        "4.5 m",
    ),
    "in the bed before it was sown": (
        "plantings.csv",
        PLANTINGS + "p,past,kale,B,2025-05-01,2025-04-01,2025-06-01,,,\n",
        2,
        "ground_from",
        '"2025-04-01"',
        "not before sown",
    ),
    "fixed, but where": (
        "plantings.csv",
        PLANTINGS + "p,fixed,kale,,,2026-04-01,,,,\n",
        2,
        "bed",
        "nothing",
        "fixed",
    ),
    "standing since when": (
        "plantings.csv",
        PLANTINGS + "p,stands,kale,A,,,,,,\n",
        2,
        "sown",
        "nothing",
        "first day in the bed",
    ),
    "everything refused": (
        "plantings.csv",
        PLANTINGS + "p,refused,,,,,,,,\n",
        2,
        "crop",
        "nothing",
        "everything would be refused",
    ),
    # records and own values
    "an unknown place": (
        "records.csv",
        "day,kind,place\n2026-02-01,seen,nurserie\n",
        2,
        "place",
        '"nurserie"',
        "did you mean nursery",
    ),
    "an unknown figure": (
        "own_values.csv",
        "crop,figure,value,unit\nkale,yeild,1,kg/m2\n",
        2,
        "figure",
        '"yeild"',
        "did you mean yield",
    ),
    "a figure in another unit": (
        "own_values.csv",
        "crop,figure,value,unit\nkale,yield,1,kg\n",
        2,
        "unit",
        '"kg"',
        "kg/m2",
    ),
    "a low end above the value": (
        "own_values.csv",
        "crop,figure,value,low,unit\nkale,yield,1,2,kg/m2\n",
        2,
        "value",
        '"1.0"',
        "not below low",
    ),
}


@pytest.mark.parametrize("fault", FAULTS.values(), ids=FAULTS)
def test_one_problem_names_the_place_what_was_found_and_what_was_expected(fault, small, read):
    file, text, row, column, found, expected = fault
    folder = small({file: text})
    before = {path.name: path.read_bytes() for path in folder.iterdir()}

    with pytest.raises(BadInput) as bad:
        read(folder)
    (problem,) = bad.value.problems

    assert (problem.file, problem.row, problem.column) == (file, row, column)
    assert found in problem.found
    assert expected in problem.expected
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
