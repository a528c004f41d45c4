"""Which workbook this is: two checkouts of one version may mark otherwise, and eight letters tell them apart."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import steadyneedle
from steadyneedle.foundation.places import PACKAGE, datasets

LETTERS = 8
FLOORS = ("foundation", "physics", "bench", "questions", "jobs", "assessing")
"""Whatever marking rests on; a page or a picture marks nobody."""


@cache
def workbook_digest() -> str:
    """Digest of all sources and data that marking rests on: the same on every machine that has the same workbook.

    >>> len(workbook_digest()), workbook_digest() == workbook_digest()
    (8, True)
    """
    return digest_of_files([*(PACKAGE / one for one in FLOORS), datasets()])


def workbook_in_words() -> str:
    """Version and digest, as a page says them."""
    return f"{steadyneedle.__version__} ({workbook_digest()})"


def digest_of_files(folders: list[Path]) -> str:
    """Eight letters that hang on every `.py` and `.csv` file of these folders, whatever its line ends are."""
    found = hashlib.sha256()
    for folder in folders:
        for name, path in sorted(_files_of(folder)):
            data = path.read_bytes().replace(b"\r\n", b"\n")
            found.update(f"{folder.name}/{name}\n{len(data)}\n".encode())
            found.update(data)
    return found.hexdigest()[:LETTERS]


def _files_of(folder: Path) -> Iterator[tuple[str, Path]]:
    for ending in ("*.py", "*.csv"):
        yield from ((path.relative_to(folder).as_posix(), path) for path in folder.rglob(ending))
