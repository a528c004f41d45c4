"""Steady Needle: a teaching workbook for breathing-regulator technicians."""

from importlib.metadata import PackageNotFoundError, version

try:
    __version__ = version("steadyneedle")
except PackageNotFoundError:  # running from a bare checkout that nobody installed
    __version__ = "0+unknown"
