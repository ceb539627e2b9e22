"""Text files and folders as spreadsheets and hands leave them."""

import pytest

HEADER = ["key", "length_m", "width_m", "note"]
ROWS = [["Möhre 1", "4,5", "1.2", "nass"], ["B", "3 ft", "90 cm", ""]]


def joined(separator: str) -> str:
    lines = [HEADER, *ROWS]
    quoted = [[f'"{cell}"' if separator in cell else cell for cell in line] for line in lines]
    return "\n".join(separator.join(line) for line in quoted) + "\n"


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_any_separator_code_and_line_end(separator, encoding, newline, small, read):
    text = joined(separator).replace("\n", newline)
    folder = small({"beds.csv": text.encode(encoding), "plantings.csv": None, "records.csv": None})
    first, second = read(folder).beds
    assert (first.key, first.length_m, first.width_m, first.note) == ("Möhre 1", 4.5, 1.2, "nass")
    assert (second.key, second.length_m, second.width_m) == ("B", 0.9144, 0.9)


def test_a_sep_line_tells_the_separator_and_is_counted(small, read):
    folder = small({"beds.csv": "sep=|\nkey|length_m|width_m\nA|6|1\nB|4,5|1,5\n"})
    assert read(folder).beds[1].width_m == 1.5


def test_notes_empty_rows_and_empty_columns_are_passed_over(small, read):
    table = "# my beds,,,,\nkey,length_m,width_m,,\n\n# old 1,2,3,,\nA,6,1,,\n , ,,,\nB,5,1,,\n"
    assert [bed.key for bed in read(small({"beds.csv": table})).beds] == ["A", "B"]


def test_a_key_may_begin_with_a_number_sign(small, read):
    folder = small({"trees.csv": "key,species\n#12,Pyrus communis\n", "limbs.csv": None})
    assert read(folder).trees[0].key == "#12"


@pytest.mark.parametrize("heading", ["Length_M", " length m ", "length (m)", "length-m"])
def test_a_heading_in_other_dress(heading, small, read):
    folder = small({"beds.csv": f"key,{heading},width_m\nA,6,1\nB,5,1\n"})
    assert read(folder).beds[0].length_m == 6


def test_a_heading_with_another_unit_converts_bare_numbers_only(small, read):
    folder = small({"beds.csv": "key,length_ft,width_cm\nA,20,120\nB,5 m,4 ft\n"})
    first, second = read(folder).beds
    assert (first.length_m, first.width_m) == (6.096, 1.2)
    assert (second.length_m, second.width_m) == (5.0, 1.2192)


def test_columns_may_stand_in_any_order(small, read):
    folder = small({"aims.csv": "unit,amount,crop,kind\nlb,3,Carrot,food\n"})
    (aim,) = read(folder).aims
    assert (aim.crop, aim.unit, aim.amount) == ("carrot", "kg", 1.36077711)


def test_a_header_alone_is_an_empty_table_and_a_missing_table_too(small, read):
    folder = small({"aims.csv": "key,kind,amount\n", "records.csv": None})
    holding = read(folder)
    assert holding.aims == () == holding.records


@pytest.mark.parametrize("name", ["Daucus carota", "CARROT", "carrot", " Carrot "])
def test_a_crop_by_any_of_its_names(name, small, read):
    folder = small({"aims.csv": f"kind,crop,amount\nfood,{name},2\n"})
    assert read(folder).aims[0].crop == "carrot"


def test_servings_become_kilograms(small, read):
    folder = small({"aims.csv": "kind,crop,amount,unit,per\nfood,carrot,10,servings,week\n"})
    (aim,) = read(folder).aims
    assert aim.unit == "kg"
    assert 0.5 <= aim.amount <= 2.0


def test_the_unit_of_an_aim_goes_without_saying(small, read):
    rows = "food,carrot,2,\nsell,tomato,12,2026-05-18\nseed,kale,10,\nhabitat,,4,\n"
    folder = small({"aims.csv": "kind,crop,amount,end\n" + rows})
    assert [aim.unit for aim in read(folder).aims] == ["kg", "plants", "g", "m2"]


def test_a_record_may_have_a_unit_of_its_own(small, read):
    rows = "2026-02-01,harvested,kale,3 baskets,\n2026-02-02,harvested,kale,8,oz\n"
    folder = small({"records.csv": "day,kind,crop,amount,unit\n" + rows})
    first, second = read(folder).records
    assert (first.amount, first.unit) == (3.0, "baskets")
    assert (second.amount, second.unit) == (0.226796185, "kg")


def test_keys_left_empty_come_from_the_row_not_from_its_place(small, read, tmp_path):
    rows = ["food,carrot,2", "food,kale,1", "food,kale,1"]
    keys = []
    for order in (rows, rows[::-1]):
        folder = small({"aims.csv": "kind,crop,amount\n" + "\n".join(order)})
        keys.append({aim.key for aim in read(folder).aims})
        folder.rename(tmp_path / f"read {len(keys)}")
    assert keys[0] == keys[1] == {"food carrot", "food kale", "food kale 2"}


def test_treated_seed_that_nothing_is_said_of_stays_unknown(small, read):
    lots = "key,crop,kind,amount,unit,treated\nC1,carrot,seed,5,g,\nC2,carrot,seed,5,g,yes\n"
    assert [lot.treated for lot in read(small({"lots.csv": lots})).lots] == [None, True]


def test_weather_files_are_listed_the_told_ones_first(small, read):
    toml = '[site]\nlatitude_deg = -41\nelevation_m = "650 ft"\n[weather]\nfiles = ["mast.txt"]\n'
    files = {"mast.txt": "", "weather 2025.csv": "", "weather.csv": "", "normals.csv": ""}
    holding = read(small({"holding.toml": toml, **files}))
    assert holding.site.elevation_m == 198.12
    assert holding.weather_files == ("mast.txt", "normals.csv", "weather 2025.csv", "weather.csv")
