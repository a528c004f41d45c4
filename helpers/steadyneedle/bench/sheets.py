"""The door to specification sheets; what stands behind it is `bands.specification`."""

from steadyneedle.bench.bands.specification import Sheet, Sheets, load_sheets

__all__ = ["Sheet", "Sheets", "load_sheets"]
