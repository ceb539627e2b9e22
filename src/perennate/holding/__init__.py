"""What a holding is, and how it is read from and written to folders, workbooks and tables."""

from perennate.holding.archive import read_archive, read_workbook_bytes, write_archive
from perennate.holding.assumed import (
    assumed_cells,
    assumption,
    confirmed,
    standing_assumptions,
)
from perennate.holding.beginning import new_holding
from perennate.holding.changes import rows_naming, table_of, with_row, with_settings, without_row
from perennate.holding.examples import EXAMPLES, example_folder
from perennate.holding.first_guess import (
    BedsAlike,
    FirstAnswers,
    Place,
    SeedHeld,
    Standing,
    first_holding,
)
from perennate.holding.lots import lot_balance
from perennate.holding.one_row import read_row, reading_of
from perennate.holding.place import PlaceHint, place_hint, read_position
from perennate.holding.reader import read_holding, read_tables, read_workbook
from perennate.holding.row_cells import row_cells
from perennate.holding.settings import settings_of
from perennate.holding.writer import table_rows, workbook_bytes, write_holding, write_workbook

__all__ = [
    "EXAMPLES",
    "BedsAlike",
    "FirstAnswers",
    "Place",
    "PlaceHint",
    "SeedHeld",
    "Standing",
    "assumed_cells",
    "assumption",
    "confirmed",
    "example_folder",
    "first_holding",
    "lot_balance",
    "new_holding",
    "place_hint",
    "read_archive",
    "read_holding",
    "read_position",
    "read_row",
    "read_tables",
    "read_workbook",
    "read_workbook_bytes",
    "reading_of",
    "row_cells",
    "rows_naming",
    "settings_of",
    "standing_assumptions",
    "table_of",
    "table_rows",
    "with_row",
    "with_settings",
    "without_row",
    "workbook_bytes",
    "write_archive",
    "write_holding",
    "write_workbook",
]
