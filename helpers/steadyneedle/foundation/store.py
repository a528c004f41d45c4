"""One readable JSON file that survives a kill at any moment, two writers at once, and a full disk.

A change takes the lock, reads the file afresh, changes it, writes a new file beside it, flushes it to
the disk and swaps it in. A program killed on the way leaves the old file or the new one, never half of one.

What somebody else wrote into the file is taken as far as it goes. Before anything is written over what could not be
taken, the file as it was is kept under a name of its own.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import stat
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout

from steadyneedle.foundation.plain_json import Odd, PlainJSONError, read_plain

LOCK_SECONDS = 10.0
LARGEST = 50_000_000
"""Bytes; what one learner types in a course is a thousandth of it."""


class StoreError(RuntimeError):
    """Nothing was saved; the sentence says why and what to do."""


def write_atomically(path: Path, data: bytes, mode: int | None = None, to_disk: bool = True) -> None:
    """Replace the file at `path` by `data`, whole or not at all, flushed to the disk.

    A file that is there keeps its mode; a new one gets `mode`, or what the user's umask leaves. Where not `to_disk`,
    a kill still leaves the old file or the new one, but a power cut may leave an empty one: for what can be made again.

    Raises
    ------
    OSError
        The disk is full, or the folder cannot be written. The old file is untouched.
    """
    # in the same folder: a swap from another disk would be a copy, which can end half-way
    part = path.with_name(f".{path.name}.{secrets.token_hex(8)}.part")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), mode or 0o666)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            if to_disk:
                os.fsync(stream.fileno())
        with contextlib.suppress(FileNotFoundError):
            mode = stat.S_IMODE(path.stat().st_mode)
        if mode is not None:
            part.chmod(mode & 0o777)
        part.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink()
        raise
    if to_disk and os.name == "posix":  # the new name itself must reach the disk
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
    lock_seconds : float
        s, how long to wait for another program that writes; after one such wait the next are short until it lets go.
    what : str
        What is open in the page that writes, for its sentences.

    Examples
    --------
    >>> import tempfile
    >>> folder = tempfile.TemporaryDirectory()
    >>> store = Store(Path(folder.name) / "work.json", version=1)
    >>> with store.change() as content:
    ...     content["answer"] = "9,8 bar"
    >>> store.read()
    {'version': 1, 'answer': '9,8 bar'}
    >>> folder.cleanup()
    """

    def __init__(self, path: Path, version: int, lock_seconds: float = LOCK_SECONDS, what: str = "lesson") -> None:
        self.path = Path(path)
        self.version = version
        self.set_aside = ""
        """Name of the file that holds what could not be read, as it was; empty where nothing had to be set aside."""
        self.whole = True
        """Whether nothing of what was set aside is in use."""
        self.held = False
        """Whether another program held the file when it was wanted last."""
        self._lock_seconds = lock_seconds
        self._what = what
        self._copied = False
        # beside the file, not on it: each change swaps the file, and a lock on it would hold the old one
        self._lock = FileLock(self.path.with_name(f".{self.path.name}.lock"))

    def read(self) -> dict[str, Any]:
        """The content as it stands; `{"version": ...}` where there is no file yet.

        Raises
        ------
        StoreError
            The file cannot be read, or a newer program wrote it.
        """
        try:
            with self._locked():
                return self._load()[0]
        except Timeout:  # the file is whole at any moment: only what is damaged has to wait
            return self._load(alone=False)[0]

    def look(self) -> tuple[dict[str, Any], str]:
        """The content, and what is wrong with it in a sentence, empty where all can be taken. Nothing is changed."""
        try:
            self._attempt(self._refuse_what_is_no_file, "read")
            content, odd = self._load(alone=False)
        except StoreError as error:
            return {}, str(error)
        return content, f"{self.path.name} cannot all be read: {', '.join(sorted(odd))}" if odd else ""

    @contextlib.contextmanager
    def change(self) -> Iterator[dict[str, Any]]:
        """Content to change in place; saved when the block ends, left alone if the block fails.

        Raises
        ------
        StoreError
            Nothing was saved.
        """
        try:
            self._copied = False
            with self._locked():
                content, odd = self._load()
                if odd:
                    self.keep_copy()
                yield content
                content["version"] = self.version
                # NaN is no JSON: a file with it could not be read elsewhere
                text = json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False)
                # half a pair of surrogates has no UTF-8; written as JSON escapes it, it is read as it was
                data = text.encode("utf-8", errors="backslashreplace")
                self._attempt(lambda: write_atomically(self.path, data), "saved")
                self._sweep()
        except Timeout as error:
            raise StoreError(self.held_by_another()) from error

    @contextlib.contextmanager
    def holding(self) -> Iterator[dict[str, Any]]:
        """The content as it stands, while nobody else changes it; nothing is saved.

        Raises
        ------
        StoreError
            Another program holds the file, or it cannot be read.
        """
        try:
            with self._locked():
                yield self._load()[0]
        except Timeout as error:
            raise StoreError(self.held_by_another()) from error

    def held_by_another(self) -> str:
        """What is said while another program holds the file."""
        other = f"Close other windows of this {self._what} and try again."
        return f"Not saved: another program holds {self.path.name}. {other}"

    def keep_copy(self) -> None:
        """Within a change: keep the file as it is under a name of its own, once, before parts of it are replaced.

        Raises
        ------
        StoreError
            It could not be kept.
        """
        if self._copied or not self.path.exists():
            return
        kept = self._free_name()
        mode = stat.S_IMODE(self.path.stat().st_mode)
        self._attempt(lambda: write_atomically(kept, self.path.read_bytes(), mode), "saved")
        self._copied, self.set_aside, self.whole = True, kept.name, False

    @contextlib.contextmanager
    def _locked(self) -> Iterator[None]:
        self._attempt(self._refuse_what_is_no_file, "saved")
        try:
            self._attempt(lambda: self._lock.acquire(timeout=0.0 if self.held else self._lock_seconds), "saved")
        except Timeout:
            self.held = True
            raise
        self.held = False
        try:
            yield
        finally:
            self._lock.release()

    def _refuse_what_is_no_file(self) -> None:
        """A folder that is gone is not made again; nothing is read or written through a link."""
        folder, name = self.path.parent, self.path.name
        if not folder.exists():
            raise StoreError(
                f"Not saved: the folder {folder} is gone or has another name. "
                f"Give it its name again, or close the {self._what}s and open them from where they are now."
            )
        for path in (self.path, Path(self._lock.lock_file)):
            if path.is_symlink():
                raise StoreError(f"Not saved: {path.name} is a link. Put the file itself in its place.")
        lock = Path(self._lock.lock_file)
        if lock.exists() and not lock.is_file():
            raise StoreError(f"Not saved: {lock.name} is no file. Remove it, or give it another name, then try again.")
        if self.path.exists() and not self.path.is_file():
            raise StoreError(f"Not saved: {name} is no file. Give what stands there another name.")
        if self.path.exists() and self.path.stat().st_size > LARGEST:
            raise StoreError(f"Not saved: {name} is larger than {LARGEST / 1e6:.0f} MB. Give it another name.")

    def _load(self, alone: bool = True) -> tuple[dict[str, Any], Odd]:
        """The content, and what of it could not be taken."""
        try:
            data = self._attempt(self.path.read_bytes, "read")
        except FileNotFoundError:
            return {"version": self.version}, Odd()
        try:
            content, odd = read_plain(data)
        except PlainJSONError:
            content = None
        if not isinstance(content, dict):
            if alone:
                self._move_aside()
            return {"version": self.version}, Odd(() if alone else ("it is no JSON with names in it",))
        version = content.get("version")
        if not isinstance(version, int) or isinstance(version, bool):
            odd.add("version")
            content["version"] = self.version
        elif version > self.version:
            raise StoreError(
                f"Not saved: {self.path.name} was written by a newer Steady Needle "
                f"(layout {version}, this one knows {self.version}). Update the workbook."
            )
        return content, odd

    def _move_aside(self) -> None:
        """Keep a file that cannot be read at all; a new one is started."""
        kept = self._free_name()
        self._attempt(lambda: self.path.replace(kept), "saved")
        self.set_aside, self.whole = kept.name, True

    def _free_name(self) -> Path:
        stamp, count = time.strftime("%Y-%m-%d-%H%M%S"), 1
        kept = self.path.with_name(f"{self.path.stem}.damaged-{stamp}{self.path.suffix}")
        while os.path.lexists(kept):
            count += 1
            kept = self.path.with_name(f"{self.path.stem}.damaged-{stamp}-{count}{self.path.suffix}")
        return kept

    def _attempt(self, action: Callable[[], Any], done: str) -> Any:
        try:
            return action()
        except Timeout:  # somebody else at work
            raise
        except OSError as error:
            if isinstance(error, FileNotFoundError) and done == "read":  # no file yet
                raise
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
