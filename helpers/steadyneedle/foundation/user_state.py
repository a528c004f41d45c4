"""Where logs of this user are kept: outside every working copy."""

from __future__ import annotations

import tempfile
from pathlib import Path

ENOUGH = 300_000
"""Bytes; what a launch of JupyterLab keeps for itself is less."""


def state_folder() -> Path:
    """Folder of this user's logs; it need not be there yet.

    >>> state_folder().name
    'steadyneedle'
    """
    import platformdirs

    return platformdirs.user_state_path("steadyneedle", appauthor=False)


def can_hold_files(folder: Path) -> bool:
    """Whether files can be made in a folder, or where it would be made: not on a full or a read-only disk.

    >>> can_hold_files(Path("/dev/null/somewhere"))
    False
    """
    try:
        there = next(place for place in (folder, *folder.parents) if place.exists())
        with tempfile.TemporaryFile(dir=there) as probe:
            probe.write(bytes(ENOUGH))
            probe.flush()
    except (OSError, StopIteration):
        return False
    return True
