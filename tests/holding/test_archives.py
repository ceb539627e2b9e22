"""A holding sent as one file: what is whole comes through, what could do harm does not."""

import io
import stat
import struct
import zipfile
from dataclasses import replace

import pytest
from catalogue_names import find, portion, suggest
from hypothesis import given, settings
from made_holdings import holdings

from conftest import SMALL
from perennate.holding import (
    EXAMPLES,
    archive,
    example_folder,
    read_archive,
    read_workbook_bytes,
    workbook_bytes,
    write_archive,
)
from perennate.terms import BadInput


def unpack(data):
    return read_archive(data, find, suggest, portion)


def problems(data):
    with pytest.raises(BadInput) as bad:
        unpack(data)
    return [(one.file, one.found, one.expected) for one in bad.value.problems]


def zipped(files, **entry_settings):
    """A .zip of these files; `entry_settings` go onto the entry of the last one."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for number, (name, data) in enumerate(files, 1):
            entry = zipfile.ZipInfo(name)
            entry.compress_type = zipfile.ZIP_DEFLATED
            for setting, value in entry_settings.items() if number == len(files) else ():
                setattr(entry, setting, value)
            packed.writestr(entry, data)
    return out.getvalue()


def nook(extra=(), folder="", **entry_settings):
    files = [(f"{folder}{name}", text) for name, text in SMALL.items()]
    return zipped([*files, *extra], **entry_settings)


@given(holdings())
@settings(max_examples=25, deadline=None)
def test_a_holding_comes_back_whole_and_packs_to_the_same_bytes(holding):
    data = write_archive(holding, {})
    assert unpack(data) == (holding, {})
    assert write_archive(holding, {}) == data


@given(holdings())
@settings(max_examples=8, deadline=None)
def test_a_holding_comes_back_from_the_bytes_of_its_workbook(holding):
    assert read_workbook_bytes(workbook_bytes(holding), find, suggest, portion) == holding


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_goes_with_its_weather(name, read):
    folder = example_folder(name)
    holding = read(folder)
    weather = {file: (folder / file).read_bytes() for file in holding.weather_files}
    assert weather
    assert unpack(write_archive(holding, weather)) == (holding, weather)
    book = read_workbook_bytes(workbook_bytes(holding), find, suggest, portion, set(weather))
    assert book == holding


@pytest.mark.parametrize("folder", ["", "nook/", "Garten Süd/"])
def test_files_lie_at_the_top_or_in_one_folder(folder, small, read, tmp_path):
    junk = [("__MACOSX/nook/._beds.csv", "x"), (f"{folder}.DS_Store", "x"), (f"{folder}old/", "")]
    data = nook([*junk, (f"{folder}weather-1.csv", "date,tmin_c\n")], folder)
    path = tmp_path / "sent.zip"
    path.write_bytes(data)
    expected = replace(read(small()), weather_files=("weather-1.csv",))
    assert unpack(data) == unpack(path) == (expected, {"weather-1.csv": b"date,tmin_c\n"})


def test_problems_of_the_holding_are_said_as_for_a_folder():
    beds = SMALL["beds.csv"].replace("1.2", "wide")
    files = {**SMALL, "beds.csv": beds, "plantingz.csv": "key\n"}
    assert [file for file, _, _ in problems(zipped(files.items()))] == [
        "plantingz.csv",
        "beds.csv",
        "beds.csv",
    ]


@pytest.mark.parametrize(
    "name",
    [
        "../beds2.csv",
        "/etc/cron.d/x",
        "a/../../x",
        "C:\\x.csv",
        "..\\x.csv",
        "c:x",
        "a//b",
        "./x",
        " x.csv",
        "x.csv ",
        "a\nb",
        "nul\u202ecsv.exe",
        "a*b",
    ],
)
def test_a_name_that_leads_elsewhere_is_refused(name, tmp_path):
    ((file, found, _),) = problems(nook([(name, "x")]))
    assert (file, found) == ("archive", f'"{name}"')
    assert list(tmp_path.iterdir()) == []


def test_links_and_devices_are_refused():
    for kind in (stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR):
        data = nook([("weather.csv", "/etc/passwd")], external_attr=(kind | 0o777) << 16)
        ((_, found, expected),) = problems(data)
        assert (found, expected) == ('"weather.csv", which is a link or no file', "plain files")


def test_a_weather_file_outside_the_archive_is_not_there(tmp_path):
    secret = tmp_path / "secret.csv"
    secret.write_text("date,tmin_c\n")
    for name in (str(secret), "../../../etc/passwd", "/etc/passwd"):
        toml = SMALL["holding.toml"] + f'[weather]\nfiles = ["{name}"]\n'
        files = {**SMALL, "holding.toml": toml}
        assert problems(zipped(files.items()))[0][1] == f'"{name}"'
        holding = unpack(nook())[0]
        with pytest.raises(BadInput, match="a name within the folder"):
            write_archive(replace(holding, weather_files=(name,)), {name: b""})
        book = workbook_bytes(replace(holding, weather_files=(name,)))
        with pytest.raises(BadInput, match="a file that is there"):
            read_workbook_bytes(book, find, suggest, portion)


def test_more_than_a_holding_can_be_is_refused_before_it_is_unpacked(monkeypatch):
    ((_, found, expected),) = problems(nook([(f"p/{n}.txt", "") for n in range(600)]))
    assert (found, expected) == (f"{len(SMALL) + 600} files", "at most 500")
    monkeypatch.setattr(archive, "MOST_BYTES", 5_000_000)
    bomb = nook([("photo.bmp", b"\0" * 6_000_000)])
    assert len(bomb) < 20_000
    ((_, found, expected),) = problems(bomb)
    assert found.endswith("bytes when unpacked")
    assert expected == "at most 5000000"


def test_a_size_that_is_a_lie_is_found_while_unpacking():
    data = nook([("photo.bmp", b"\0" * 2_000_000)])
    told = struct.pack("<I", 2_000_000)
    assert data.count(told) == 2
    ((_, found, _),) = problems(data.replace(told, struct.pack("<I", 50)))
    assert found == "something that is no whole archive"


def test_a_name_in_an_old_writing_is_refused():
    old = bytearray(nook([("Ü.txt", "x")]).replace("Ü".encode(), b"\x9a\x9a"))
    for signature, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        place = old.rfind(signature) + flags
        old[place : place + 2] = b"\0\0"
    ((_, found, expected),) = problems(bytes(old))
    assert (found, expected) == (
        'a file name in another writing: "ÜÜ.txt"',
        "file names in UTF-8",
    )


def test_locked_files_rare_packing_and_doubles_are_refused():
    locked = bytearray(nook())
    locked[locked.rfind(b"PK\x01\x02") + 8] |= 1
    assert problems(bytes(locked))[0][2] == "files without a password"
    rare = zipped([*SMALL.items(), ("x.txt", "x")], compress_type=zipfile.ZIP_LZMA)
    assert problems(rare)[0][2] == "files packed in the usual way (deflate)"
    assert problems(nook([("Beds.csv", "key")]))[0][1] == '"Beds.csv" twice'


def test_a_file_where_a_folder_must_be_is_said():
    ((_, found, _),) = problems(nook([("a", "x"), ("a/b", "x")]))
    assert found == '"a/b"'


@pytest.mark.parametrize(
    "data", [b"", b"PK", b"PK\x03\x04" * 50, b"\0" * 999, SMALL["beds.csv"].encode()]
)
def test_what_is_no_archive_is_said_and_no_trace_of_the_fault_within(data):
    ((_, found, expected),) = problems(data)
    assert (found, expected) == ("something that is no whole archive", "a .zip of a holding folder")
    with pytest.raises(BadInput, match=r"an \.xlsx workbook"):
        read_workbook_bytes(data, find, suggest)


@given(holding=holdings())
@settings(max_examples=3, deadline=None)
def test_an_archive_cut_off_anywhere_is_refused(holding):
    data = write_archive(holding, {})
    for end in range(0, len(data), 997):
        with pytest.raises(BadInput):
            unpack(data[:end])


def test_bytes_changed_on_the_way_are_refused_or_do_not_matter():
    data = nook()
    whole = unpack(data)
    refused = 0
    for at in range(0, len(data), 23):
        broken = bytearray(data)
        broken[at] ^= 0xFF
        try:
            read = unpack(bytes(broken))
        except BadInput:
            refused += 1
        else:
            assert read[0].site == whole[0].site
    assert refused > len(data) / 23 / 2


def test_a_workbook_two_holdings_and_no_holding_are_told_apart(small, read):
    book = workbook_bytes(read(small()))
    assert problems(book)[0][1] == "a workbook"
    assert problems(nook([("b/holding.toml", "")], "a/"))[0][1] == "a, b side by side"
    assert problems(zipped([("a/b/holding.toml", "")]))[0][1].startswith("no holding.toml")
    assert problems(zipped([]))[0][1].startswith("no holding.toml")
    with pytest.raises(BadInput, match="something that is no workbook"):
        read_workbook_bytes(nook(), find, suggest)


def test_a_missing_file_is_said(tmp_path):
    ((file, found, _),) = problems(tmp_path / "gone.zip")
    assert (file, found) == ("gone.zip", "no such file")


def test_weather_that_is_not_given_or_would_lie_on_a_table_is_refused_on_writing():
    holding = unpack(nook())[0]
    for name in ("mast.csv", "beds.csv", "holding.toml", "schemas/beds.json", "../x.csv"):
        given_files = {} if name == "mast.csv" else {name: b""}
        with pytest.raises(BadInput) as bad:
            write_archive(replace(holding, weather_files=(name,)), given_files)
        assert [one.found for one in bad.value.problems] == [f'"{name}"']
