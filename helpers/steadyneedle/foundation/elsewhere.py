"""An empty folder to stand in for a moment."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path


@contextlib.contextmanager
def elsewhere() -> Iterator[None]:
    """An empty folder to stand in: matplotlib takes its settings from the folder in which it is imported."""
    with tempfile.TemporaryDirectory() as empty:
        try:
            before = Path.cwd()
        except FileNotFoundError:  # the folder one stands in is gone: nothing lies in it
            yield
            return
        os.chdir(empty)
        try:
            yield
        finally:
            os.chdir(before)
