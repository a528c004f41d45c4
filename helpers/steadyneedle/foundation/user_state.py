"""Where logs of this user are kept: outside every working copy."""

from __future__ import annotations

from pathlib import Path


def state_folder() -> Path:
    """Folder of this user's logs; it need not be there yet.

    >>> state_folder().name
    'steadyneedle'
    """
    import platformdirs

    return platformdirs.user_state_path("steadyneedle", appauthor=False)
