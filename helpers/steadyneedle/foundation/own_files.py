"""A file that somebody else put there, read without trust: no link followed, no pipe waited for, nothing too large.

What a file is gets looked at before it is opened, and once more on what was opened, for it may have been swapped.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

_OPENED = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
_KINDS = (
    (stat.S_ISLNK, "is a link to another place"),
    (stat.S_ISDIR, "is a folder"),
    (stat.S_ISFIFO, "is a pipe"),
    (stat.S_ISSOCK, "is a socket"),
    (stat.S_ISCHR, "is a device"),
    (stat.S_ISBLK, "is a device"),
)


class OwnFileError(ValueError):
    """A file was not read; the words say why, to stand behind its name."""


def read_own_file(path: Path, largest: int) -> bytes:
    """The bytes of a plain file of at most `largest` bytes.

    Parameters
    ----------
    path : Path
        The file; the folder it lies in is trusted, its name and what it is are not.
    largest : int
        Bytes; a larger file is refused before it is opened.

    Returns
    -------
    bytes
        All of it.

    Raises
    ------
    OwnFileError
        A link, a folder, a pipe, a device, too large, or not to be read.

    Examples
    --------
    >>> read_own_file(Path("/dev/null"), 100)
    Traceback (most recent call last):
    steadyneedle.foundation.own_files.OwnFileError: is a device
    """
    try:
        _refuse_what_is_no_file(path.lstat(), largest)
        with os.fdopen(os.open(path, _OPENED), "rb") as file:
            _refuse_what_is_no_file(os.fstat(file.fileno()), largest)
            data = file.read(largest + 1)
    except OwnFileError:
        raise
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "no system can hold its name"
        raise OwnFileError(f"cannot be read: {reason[:1].lower()}{reason[1:]}") from None
    if len(data) > largest:  # it grew while it was read
        raise OwnFileError(_too_large(len(data), largest))
    return data


def _refuse_what_is_no_file(status: os.stat_result, largest: int) -> None:
    for is_it, what in _KINDS:
        if is_it(status.st_mode):
            raise OwnFileError(what)
    if not stat.S_ISREG(status.st_mode):
        raise OwnFileError("is no plain file")
    if status.st_size > largest:
        raise OwnFileError(_too_large(status.st_size, largest))


def _too_large(size: int, largest: int) -> str:
    return f"holds {size / 1e6:.1f} MB, and at most {largest / 1e6:.0f} MB are read"
