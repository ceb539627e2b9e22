"""A holding folder as one .zip, and a workbook as bytes, from and for people who send them.

What comes in is not trusted: nothing of it is written outside a folder of its own, and its size
is counted as it is unpacked, not believed.
"""

import io
import stat
import tempfile
import zipfile
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path, PurePosixPath

from perennate.holding.model import Holding
from perennate.holding.reader import Portion, no_portion, read_holding, read_workbook
from perennate.holding.rows import Find, Suggest
from perennate.holding.writer import holding_texts
from perennate.terms import BadInput, Problem

MOST_FILES = 500
MOST_BYTES = 64_000_000
"""The most files in an archive or workbook, and the most bytes of them all, unpacked."""

_FOLDER = "holding"
_FIRST_DAY = (1980, 1, 1, 0, 0, 0)
_NOT_OURS = ("__MACOSX", ".DS_Store", "Thumbs.db", "desktop.ini")
_PACKED = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ENCRYPTED, _UTF8 = 0x1, 0x800
_PIECE = 1 << 16


def read_archive(
    archive: Path | bytes, find: Find, suggest: Suggest, portion: Portion = no_portion
) -> tuple[Holding, dict[str, bytes]]:
    """The holding in a .zip of its folder, and its weather files by name.

    The files lie at the top of the archive or in one folder there. Raises BadInput with every
    problem, those of the archive first and alone; nothing is kept on disk.
    """
    title = archive.name if isinstance(archive, Path) else "archive"
    files = _in_one_folder(_unpacked(archive, title, "a .zip of a holding folder"), title)
    with tempfile.TemporaryDirectory(prefix="holding-") as place:
        folder = Path(place) / _FOLDER
        folder.mkdir()
        for name, data in files.items():
            path = folder / name
            try:
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(data)
            except OSError:
                expected = "a name that a file can have, beside the others"
                raise BadInput([Problem(title, None, None, f'"{name}"', expected)]) from None
        holding = read_holding(folder, find, suggest, portion, weather_files=files)
    return holding, {name: files[name] for name in holding.weather_files}


def write_archive(holding: Holding, weather: Mapping[str, bytes]) -> bytes:
    """A .zip of the holding's folder with its weather files; the same bytes for the same holding.

    Raises BadInput when a weather file of the holding is not in `weather`, or has a name that
    would lie outside the folder or on another file of it.
    """
    files = {name: text.encode() for name, text in holding_texts(holding).items()}
    problems: list[Problem] = []
    for name in holding.weather_files:
        if name in files or _unsafe(name):
            expected = "a name within the folder that no other file of it has"
            problems.append(Problem("holding.toml", None, "weather.files", f'"{name}"', expected))
        elif name not in weather:
            expected = "a weather file that is there"
            problems.append(Problem("holding.toml", None, "weather.files", f'"{name}"', expected))
    if problems:
        raise BadInput(problems)
    files |= {name: weather[name] for name in holding.weather_files}
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        for name, data in files.items():
            entry = zipfile.ZipInfo(f"{_FOLDER}/{name}", _FIRST_DAY)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = (stat.S_IFREG | 0o644) << 16
            packed.writestr(entry, data)
    return out.getvalue()


def read_workbook_bytes(
    data: bytes,
    find: Find,
    suggest: Suggest,
    portion: Portion = no_portion,
    weather_files: Collection[str] = (),
) -> Holding:
    """The holding in the bytes of an .xlsx workbook, as `read_workbook`.

    `weather_files`: names of those that there are; none is looked for.
    """
    title = "workbook.xlsx"
    _unpacked(data, title, "an .xlsx workbook")
    with tempfile.TemporaryDirectory(prefix="holding-") as place:
        path = Path(place) / title
        path.write_bytes(data)
        return read_workbook(path, find, suggest, portion, weather_files)


def _unpacked(archive: Path | bytes, title: str, expected: str) -> dict[str, bytes]:
    """The files of an archive by their path, or BadInput with everything wrong about it."""
    try:
        with zipfile.ZipFile(
            io.BytesIO(archive) if isinstance(archive, bytes) else archive
        ) as zipped:
            entries = [entry for entry in zipped.infolist() if not _passed_over(entry)]
            problems = [
                Problem(title, None, None, found, wanted) for found, wanted in _faults(entries)
            ]
            if problems:
                raise BadInput(problems)
            return _contents(zipped, entries)
    except FileNotFoundError:
        raise BadInput([Problem(title, None, None, "no such file", expected)]) from None
    except BadInput:
        raise
    except Exception:  # a broken archive makes the library fail in ways that it does not name
        found = "something that is no whole archive"
        raise BadInput([Problem(title, None, None, found, expected)]) from None


def _passed_over(entry: zipfile.ZipInfo) -> bool:
    """Folders, and what systems leave in archives that people make."""
    parts = PurePosixPath(entry.filename).parts
    return entry.is_dir() or any(part in _NOT_OURS for part in parts)


def _faults(entries: list[zipfile.ZipInfo]) -> Iterator[tuple[str, str]]:
    """What is found and what is expected, for each fault that the list of contents shows."""
    if len(entries) > MOST_FILES:
        yield f"{len(entries)} files", f"at most {MOST_FILES}"
        return
    told = sum(entry.file_size for entry in entries)
    if told > MOST_BYTES:
        yield f"{told} bytes when unpacked", f"at most {MOST_BYTES}"
    seen: set[str] = set()
    for entry in entries:
        name = entry.filename
        kind = stat.S_IFMT(entry.external_attr >> 16)
        if not (entry.flag_bits & _UTF8 or entry.orig_filename.isascii()):
            yield f'a file name in another writing: "{name}"', "file names in UTF-8"
        elif _unsafe(name):
            yield f'"{name}"', "a file within the folder, by a plain name"
        elif kind not in (0, stat.S_IFREG):
            yield f'"{name}", which is a link or no file', "plain files"
        elif entry.flag_bits & _ENCRYPTED:
            yield f'"{name}", which is locked with a password', "files without a password"
        elif entry.compress_type not in _PACKED:
            yield f'"{name}", packed in a rare way', "files packed in the usual way (deflate)"
        elif name.casefold() in seen:
            yield f'"{name}" twice', "each file once"
        seen.add(name.casefold())


def _unsafe(name: str) -> bool:
    """Whether a path could lead out of its folder, here or on another system."""
    parts = name.split("/")
    odd = any(sign in name for sign in '\\:*?"<>|') or not name.isprintable()
    return odd or any(part in ("", ".", "..") or part != part.strip() for part in parts)


def _contents(zipped: zipfile.ZipFile, entries: list[zipfile.ZipInfo]) -> dict[str, bytes]:
    """What the files hold; no more is unpacked than the list of contents says."""
    files: dict[str, bytes] = {}
    for entry in entries:
        with zipped.open(entry) as file:
            # a piece at a time, as the library unpacks at once whatever one reading asks for
            files[entry.filename] = b"".join(iter(lambda: file.read(_PIECE), b""))
    return files


def _in_one_folder(files: Mapping[str, bytes], title: str) -> dict[str, bytes]:
    """The files of the folder that has holding.toml: the top, or the one folder there."""
    if "holding.toml" in files:
        return dict(files)
    tops = {name.split("/")[0] for name in files}
    for top in tops:
        if f"{top}/holding.toml" in files:
            if len(tops) > 1:
                found = f"{', '.join(sorted(tops))} side by side"
                raise BadInput([Problem(title, None, None, found, "one holding folder")])
            return {name.removeprefix(f"{top}/"): data for name, data in files.items()}
    found = "no holding.toml at its top or in a folder there"
    expected = "a .zip of a holding folder"
    if "xl/workbook.xml" in files:
        found, expected = "a workbook", "a .zip of a holding folder, or the workbook read as one"
    raise BadInput([Problem(title, None, None, found, expected)])
