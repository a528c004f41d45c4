"""The door to specification sheets; behind it stand `bands.specification` and `bands.sheet_files`."""

from steadyneedle.bench.bands.sheet_files import SheetError, load_sheets
from steadyneedle.bench.bands.specification import Sheet, Sheets

__all__ = ["Sheet", "SheetError", "Sheets", "load_sheets"]
