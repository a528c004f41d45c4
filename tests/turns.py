"""Tests side by side, and those that measure speed alone: beside other work they would measure that work."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from filelock import FileLock


class Turns:
    """One worker's turns among those of all workers, which keep their locks in one folder.

    An ordinary test holds its worker's lock. A measured one shuts the gate, so that no other test begins, and waits for
    the locks of the other workers, so that those under way end.
    """

    def __init__(self, folder: Path, worker: str) -> None:
        self._gate = FileLock(folder / "gate")
        self._folder, self._own = folder, FileLock(folder / f"{worker}.worker")
        self._alone = ExitStack()

    @contextmanager
    def beside_others(self) -> Iterator[None]:
        """One test among others."""
        with self._gate:
            mine = self._own.acquire()
        with mine:
            yield

    @contextmanager
    def alone(self, last: bool) -> Iterator[None]:
        """One test with nothing beside it; until the last one ends, the gate stays shut."""
        if not self._gate.is_locked:
            self._alone.enter_context(self._gate)
            for path in self._folder.glob("*.worker"):
                self._alone.enter_context(FileLock(path))
        try:
            yield
        finally:
            if last:
                self._alone.close()
