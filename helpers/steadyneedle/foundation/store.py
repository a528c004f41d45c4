"""One readable JSON file that survives a kill at any moment, two writers at once, and a full disk.

A change takes the lock, reads the file afresh, changes it, writes a new file beside it, flushes it to
the disk and swaps it in. A program killed on the way leaves the old file or the new one, never half of one.
"""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout

LOCK_SECONDS = 10.0


class StoreError(RuntimeError):
    """Nothing was saved; the sentence says why and what to do."""


def write_atomically(path: Path, data: bytes) -> None:
    """Replace the file at `path` by `data`, whole or not at all, flushed to the disk.

    Raises
    ------
    OSError
        The disk is full, or the folder cannot be written. The old file is untouched.
    """
    # in the same folder: a swap from another disk would be a copy, which can end half-way
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if path.exists():
            part.chmod(path.stat().st_mode & 0o777)
        else:
            part.chmod(0o644)
        part.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink()
        raise
    if os.name == "posix":  # the new name itself must reach the disk
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


class Store:
    """A JSON object in a file, with a version.

    Parameters
    ----------
    path : Path
        The file. Its folder must exist.
    version : int
        Version of the layout this program writes.

    Examples
    --------
    >>> folder = tempfile.TemporaryDirectory()
    >>> store = Store(Path(folder.name) / "work.json", version=1)
    >>> with store.change() as content:
    ...     content["answer"] = "9,8 bar"
    >>> store.read()
    {'version': 1, 'answer': '9,8 bar'}
    >>> folder.cleanup()
    """

    def __init__(self, path: Path, version: int, lock_seconds: float = LOCK_SECONDS) -> None:
        self.path = Path(path)
        self.version = version
        # beside the file, not on it: each change swaps the file, and a lock on it would hold the old one
        self._lock = FileLock(self.path.with_name(f".{self.path.name}.lock"), timeout=lock_seconds)

    def read(self) -> dict[str, Any]:
        """The content as it stands; `{"version": ...}` where there is no file yet."""
        with self._locked():
            return self._load()

    @contextlib.contextmanager
    def change(self) -> Iterator[dict[str, Any]]:
        """Content to change in place; saved when the block ends, left alone if the block fails."""
        with self._locked():
            content = self._load()
            content.pop("set_aside", None)  # news for a reader, not part of the content
            yield content
            content["version"] = self.version
            # NaN is no JSON: a file with it could not be read elsewhere
            text = json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False)
            self._attempt(lambda: write_atomically(self.path, text.encode("utf-8")), "saved")
            self._sweep()

    @contextlib.contextmanager
    def _locked(self) -> Iterator[None]:
        try:
            self._attempt(self._lock.acquire, "saved")
        except Timeout as error:
            raise StoreError(
                f"Not saved: another program holds {self.path.name}. Close other windows of this lesson and try again."
            ) from error
        try:
            yield
        finally:
            self._lock.release()

    def _load(self) -> dict[str, Any]:
        try:
            text = self._attempt(lambda: self.path.read_text(encoding="utf-8"), "read")
        except FileNotFoundError:
            return {"version": self.version}
        except UnicodeDecodeError:
            text = ""
        try:
            content = json.loads(text)
            if not isinstance(content, dict) or not isinstance(content.get("version"), int):
                raise ValueError("no object with a version")
        except (ValueError, RecursionError):
            return self._set_aside()
        if content["version"] > self.version:
            raise StoreError(
                f"Not saved: {self.path.name} was written by a newer Steady Needle "
                f"(layout {content['version']}, this one knows {self.version}). Update the workbook."
            )
        return content

    def _set_aside(self) -> dict[str, Any]:
        """Keep a damaged file under a dated name and start a new one."""
        stamp = time.strftime("%Y-%m-%d-%H%M%S")
        kept = self.path.with_name(f"{self.path.stem}.damaged-{stamp}{self.path.suffix}")
        self._attempt(lambda: self.path.replace(kept), "read")
        return {"version": self.version, "set_aside": kept.name}

    def _attempt(self, action: Callable[[], Any], done: str) -> Any:
        try:
            return action()
        except (FileNotFoundError, Timeout):  # no file yet; somebody else at work
            raise
        except OSError as error:
            reason = error.strerror or str(error)
            raise StoreError(
                f"Not {done}: {self.path.name}: {reason}. Free some space or check that you may write in "
                f"{self.path.parent}, then try again."
            ) from error

    def _sweep(self) -> None:
        """Remove what a killed writer left; safe, for the lock is ours."""
        for part in self.path.parent.glob(f".{self.path.name}.*.part"):
            with contextlib.suppress(OSError):
                part.unlink()
