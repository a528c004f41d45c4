"""The folder of results: what may stand there, one marking at a time, each file whole or as it was."""

from __future__ import annotations

import contextlib
import hashlib
import itertools
import os
import re
from collections.abc import Iterator
from pathlib import Path

from filelock import FileLock, Timeout

from steadyneedle.assessing.hand_tables import COMMA, LARGEST_TABLE, SEMICOLON
from steadyneedle.foundation.own_files import OwnFileError, read_own_file
from steadyneedle.foundation.store import write_atomically
from steadyneedle.foundation.text_files import printable

GRADED, BY_HAND = "marked", "by-hand"
BEFORE = "-as-marked-before"
LARGEST_RECORD, LARGEST_BOOK = 500_000_000, 50_000_000
_PART = re.compile(r"\.[^/]+\.[0-9a-f]{16}\.part")


class ResultsError(ValueError):
    """Results cannot go where they should; the sentence says why and what to do."""


class ResultsFolder:
    """A folder that holds `marks.csv`, `record.jsonl`, `marked/` and `by-hand/`; use `opened`."""

    def __init__(self, folder: Path, between: str = COMMA) -> None:
        self.between = between
        self._folder = folder
        self._written: set[str] = set()

    @classmethod
    @contextlib.contextmanager
    def opened(cls, folder: Path, handed_in: Path, between: str = COMMA) -> Iterator[ResultsFolder]:
        """The folder, made where it is missing, held for one marking alone.

        Parameters
        ----------
        folder : Path
            Where results go.
        handed_in : Path
            Where the handed-in files lie; results among them would be read as handed in.
        between : str
            What stands between the columns of files that persons fill in, where they are new; semicolons where a file
            with semicolons lies there already.

        Raises
        ------
        ResultsError
            It is no folder, lies within the other, or another marking is at work in it.
        OSError
            It cannot be made or written.
        """
        name = printable(str(folder), 300)
        if folder.resolve().is_relative_to(handed_in.resolve()):
            raise ResultsError(f"{name} lies in the folder of handed-in files. Name another folder for the results.")
        if not folder.parent.is_dir():
            raise ResultsError(f"There is no folder {printable(str(folder.parent), 300)}. Make it, or name another.")
        for path in (folder, folder / GRADED, folder / BY_HAND):
            if path.exists() and not path.is_dir():
                raise ResultsError(f"{printable(str(path), 300)} is no folder. Give it another name, then mark again.")
        lock = folder / ".marking.lock"
        for path in (folder / GRADED, folder / BY_HAND, lock):
            if path.is_symlink():
                raise ResultsError(
                    f"{printable(str(path), 300)} is a link. Put a folder in its place, then mark again."
                )
        (folder / GRADED).mkdir(parents=True, exist_ok=True)
        try:
            with FileLock(lock, timeout=0):
                results = cls(folder, SEMICOLON if _semicolons_lie_in(folder) else between)
                results.sweep()
                yield results
        except Timeout:
            raise ResultsError(f"Another marking is at work in {name}. Wait until it is done.") from None

    def write_graded(self, name: str, data: bytes) -> None:
        """Write a graded notebook."""
        self._written.add(name)
        self.write(f"{GRADED}/{name}", data)

    def keep_graded(self, name: str, data: bytes) -> None:
        """Write what nobody can make again among the graded notebooks."""
        write_atomically(self._folder / GRADED / name, data)

    def graded(self, name: str) -> bytes:
        """A graded notebook as it lies there; empty where none does that is a file of its own."""
        try:
            return read_own_file(self._folder / GRADED / name, LARGEST_BOOK)
        except OwnFileError:
            return b""

    def write(self, name: str, data: bytes) -> None:
        """Write a file where it is not as it should be already."""
        path = self._folder / name
        with contextlib.suppress(OwnFileError):
            if read_own_file(path, len(data)) == data:
                return
        # what can be computed again need not wait for the disk
        write_atomically(path, data, to_disk=not name.startswith(GRADED))

    def record(self) -> bytes:
        """The record so far; empty where there is none.

        Raises
        ------
        ResultsError
            It is there, and cannot be read.
        """
        path = self._folder / "record.jsonl"
        if not path.is_symlink() and not path.exists():
            return b""
        try:
            return read_own_file(path, LARGEST_RECORD)
        except OwnFileError as error:
            raise ResultsError(f"{printable(str(path), 300)} {error}. Move it elsewhere, then mark again.") from None

    def typed(self, name: str) -> bytes:
        """A file that a person fills in; empty where there is none.

        Raises
        ------
        ResultsError
            It is there, and cannot be read.
        """
        path = self._folder / name
        if not path.is_symlink() and not path.exists():
            return b""
        try:
            return read_own_file(path, LARGEST_TABLE)
        except OwnFileError as error:
            raise ResultsError(f"{printable(name)} {error}. Put the file itself there, then mark again.") from None

    def holds(self, name: str) -> bool:
        """Whether something of this name lies there."""
        return os.path.lexists(self._folder / name)

    def names(self, folder: str) -> list[str]:
        """Names of what lies in a folder within, in order."""
        return sorted(path.name for path in (self._folder / folder).glob("*"))

    def lay(self, name: str, data: bytes, read: bytes) -> str:
        """Write a file that a person fills in, unless that could cost what they typed.

        Parameters
        ----------
        name : str
            Within the folder.
        data : bytes
            What it is to hold.
        read : bytes
            What was read of it, and went into `data`.

        Returns
        -------
        str
            Why it was left as it is; empty where it was written.
        """
        path = self._folder / name
        path.parent.mkdir(exist_ok=True)
        if path.with_name(f".~lock.{path.name}#").exists():
            return f"{path.name} is open in a spreadsheet and was left as it is. Close it, and mark again."
        if self.typed(name) != read:
            return f"{path.name} was saved while the folder was marked. Mark again."
        write_atomically(path, data)
        return ""

    def is_strange(self, name: str, ours: set[str]) -> bool:
        """Whether a file lies there that no marking wrote; `ours` are the SHA-256 of everything that one did."""
        try:
            there = self.typed(name)
        except ResultsError:  # writing it says what is wrong
            return False
        return bool(there) and hashlib.sha256(there).hexdigest() not in ours

    def keep_aside(self, name: str, data: bytes) -> str:
        """Keep an output as somebody wrote it, before it is written over; the name of what was kept.

        Parameters
        ----------
        name : str
            The output.
        data : bytes
            What it will hold; where it holds that already, nothing is kept, and the name is empty.
        """
        there = self.typed(name)
        if there == data:
            return ""
        stem, _, ending = name.rpartition(".")
        for at in itertools.count(1):
            aside = f"{stem}-as-edited-{at}.{ending}"
            if (kept := self.typed(aside)) in (b"", there):
                break
        if not kept:
            write_atomically(self._folder / aside, there)
        return aside

    def kept_aside(self, name: str, ours: set[str]) -> list[str]:
        """Names of outputs that `keep_aside` kept and that lie there still, but for those that a marking wrote."""
        stem, _, ending = name.rpartition(".")
        there = sorted(path.name for path in self._folder.glob(f"{stem}-as-edited-*.{ending}"))
        return [
            one for one in there if re.fullmatch(r".*-as-edited-[0-9]{1,6}\.[a-z]+", one) and self.is_strange(one, ours)
        ]

    def left_over(self) -> list[str]:
        """Names of graded notebooks that this marking did not write."""
        there = (path.name for path in (self._folder / GRADED).glob("*.ipynb"))
        return sorted(name for name in there if name.replace(f"{BEFORE}.", ".") not in self._written)

    def sweep(self) -> None:
        """Remove what a killed marking left unfinished; safe, for the lock is ours."""
        for folder in (self._folder, self._folder / GRADED, self._folder / BY_HAND):
            for path in folder.glob(".*.part"):
                if _PART.fullmatch(path.name):
                    with contextlib.suppress(OSError):
                        path.unlink()


def _semicolons_lie_in(folder: Path) -> bool:
    """Whether a file that persons fill in lies there with semicolons between its columns."""
    for path in (*sorted((folder / BY_HAND).glob("*.csv")), folder / "observed.csv", folder / "changed-marks.csv"):
        with contextlib.suppress(OwnFileError):
            head = read_own_file(path, LARGEST_TABLE).partition(b"\n")[0]
            if head.count(b";") > head.count(b","):
                return True
    return False
