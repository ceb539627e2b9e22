"""What a holding is, and how it is read from and written to a folder or a workbook."""

from perennate.holding.beginning import new_holding
from perennate.holding.examples import EXAMPLES, example_folder
from perennate.holding.lots import lot_balance
from perennate.holding.reader import read_holding, read_workbook
from perennate.holding.writer import write_holding, write_workbook

__all__ = [
    "EXAMPLES",
    "example_folder",
    "lot_balance",
    "new_holding",
    "read_holding",
    "read_workbook",
    "write_holding",
    "write_workbook",
]
