"""season.pdf: the season as a survey sheet, drawn by Typst from season.typ beside this file.

The file carries the plan's day instead of the time it was made, and only fonts that ship with the
Typst package, so the same plan gives the same bytes. Fonts of the system are asked only for
scripts that those do not hold.
"""

import json
import tempfile
from collections.abc import Mapping
from datetime import UTC, datetime, time
from importlib.resources import files
from pathlib import Path

import typst

from perennate.holding.model import Holding
from perennate.outputs.sheet_data import sheet_data
from perennate.planning.plan import Plan
from perennate.weather.climate import Climate

_LAST_COVERED = 0x052F
"""Latin, Greek and Cyrillic, which the fonts that ship with Typst hold."""
_SIGNS = range(0x2000, 0x2300)
"""General punctuation, arrows and signs of mathematics, held too."""


def season_pdf(
    plan: Plan,
    holding: Holding,
    names: Mapping[str, str] | None = None,
    climate: Climate | None = None,
) -> bytes:
    """The sheets: aims and the next weeks; ground; year; jobs by week; what to get.

    PDF/UA-1: tagged, with a sentence for every picture. Letter paper for US units, else A4.
    `climate` adds the hatching for frost above the year.
    """
    data = json.dumps(sheet_data(plan, holding, names or {}, climate), ensure_ascii=False)
    made = datetime.combine(plan.as_of, time(), UTC)
    with tempfile.TemporaryDirectory(prefix="perennate-sheet-") as folder:
        source = Path(folder) / "season.typ"
        source.write_bytes(files("perennate.outputs").joinpath("season.typ").read_bytes())
        (Path(folder) / "season.json").write_text(data, encoding="utf-8")
        bare = not _needs_more_fonts(data)
        stamp = int(made.timestamp())
        try:
            return _compiled(source, bare, stamp, accessible=True)
        except typst.TypstError:
            # PDF/UA forbids a letter that no font holds; a sheet with a gap is better than none
            return _compiled(source, bare, stamp, accessible=False)


def _compiled(source: Path, bare: bool, stamp: int, accessible: bool) -> bytes:
    return typst.compile(
        str(source),
        root=str(source.parent),
        format="pdf",
        ignore_system_fonts=bare,
        timestamp=stamp,
        pdf_standards=["ua-1"] if accessible else [],
    )


def _needs_more_fonts(data: str) -> bool:
    return any(ord(sign) > _LAST_COVERED and ord(sign) not in _SIGNS for sign in data)
