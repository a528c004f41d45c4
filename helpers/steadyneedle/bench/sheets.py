"""The door to specification sheets; behind it stand `bands.specification` and `bands.sheet_files`."""

from steadyneedle.bench.bands.sheet_files import load_sheets
from steadyneedle.bench.bands.specification import Sheet, Sheets

__all__ = ["Sheet", "Sheets", "load_sheets"]
