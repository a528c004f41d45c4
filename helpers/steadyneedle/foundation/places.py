"""Where lessons and datasets are: beside the installed package, or in the repository."""

from __future__ import annotations

import os
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent.parent

WORK_VARIABLE = "STEADYNEEDLE_WORK"
SHEETS_VARIABLE = "STEADYNEEDLE_SHEETS"


def repository() -> Path | None:
    """The repository this package lies in; None where it is installed from a wheel."""
    above = PACKAGE.parent.parent
    return above if PACKAGE.parent.name == "helpers" and (above / "pyproject.toml").is_file() else None


def _shipped(name: str) -> Path:
    """The folder `name` of the repository this package lies in, else the copy beside the package."""
    # the repository first: beside an editable install lie old copies or none
    above = repository()
    if above is not None:
        return above / name
    beside = PACKAGE / name
    if beside.is_dir():
        return beside
    raise FileNotFoundError(
        f"The folder '{name}' of Steady Needle is missing. Install the workbook again: "
        "python3 helpers/start.py from its folder, or pip install --force-reinstall steadyneedle."
    )


def lessons() -> Path:
    """Folder of the lessons as shipped.

    >>> (lessons() / "00-start-here.ipynb").is_file()
    True
    """
    return _shipped("lessons")


def datasets() -> Path:
    """Folder of the datasets as shipped.

    >>> (datasets() / "sheets" / "example.csv").is_file()
    True
    """
    return _shipped("datasets")


def sheets() -> Path:
    """Folder of specification sheets in use: the one the instructor named, else the invented example."""
    named = os.environ.get(SHEETS_VARIABLE)
    return Path(named) if named else datasets() / "sheets"


def work() -> Path:
    """Folder where a learner's answers are kept: beside the lesson that is open."""
    named = os.environ.get(WORK_VARIABLE)
    return Path(named) if named else Path.cwd()
