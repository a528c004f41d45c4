"""Run every lesson from top to bottom and keep what a reader without a kernel can see."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from steadyneedle.foundation import notebooks, places

KERNEL_WARNINGS = ",".join(
    (
        "error",
        "ignore::PendingDeprecationWarning:ipykernel.kernelbase",
        "ignore:There is no current event loop:DeprecationWarning:tornado.ioloop",
    )
)
"""Warnings are errors in lesson kernels. Two of the kernel's own are not: at its shutdown, and at its start on
Python 3.12 and 3.13."""


def refresh(folder: Path, check: bool, tell: Callable[[str], None]) -> list[str]:
    """Refresh the lessons of a folder; with `check` only name those that are stale.

    Returns
    -------
    list of str
        Names of lessons that were or are stale.
    """
    stale = []
    for path in sorted(folder.rglob("*.ipynb")):
        committed = notebooks.read(path)
        fresh = run(path)
        why = difference(committed, fresh)
        if why:
            stale.append(path.name)
            tell(f"{path.name}: {why}")
            if not check:
                path.write_text(notebooks.as_text(fresh), encoding="utf-8")
        else:
            tell(f"{path.name}: fresh")
    return stale


def run(path: Path) -> dict[str, Any]:
    """A lesson freshly run, as it is committed."""
    import nbformat
    from nbclient import NotebookClient

    book = nbformat.read(path, as_version=4)
    with tempfile.TemporaryDirectory() as work, _environment(work):
        resources = {"metadata": {"path": str(path.parent)}}
        NotebookClient(
            book, timeout=120, kernel_name="python3", resources=resources, extra_arguments=["--log-level=40"]
        ).execute()
    plain: dict[str, Any] = json.loads(nbformat.writes(book))
    return notebooks.freshly_run(plain)


@contextmanager
def _environment(work: str) -> Iterator[None]:
    """A learner who has done nothing yet, the example sheets, warnings as errors."""
    kept = dict(os.environ)
    os.environ[places.WORK_VARIABLE] = work
    os.environ.pop(places.SHEETS_VARIABLE, None)
    os.environ["PYTHONWARNINGS"] = KERNEL_WARNINGS
    try:
        yield
    finally:
        os.environ.clear()
        os.environ.update(kept)


def difference(committed: dict[str, Any], fresh: dict[str, Any]) -> str:
    """What differs, in words; empty where both say the same.

    PNG bytes carry the version of matplotlib and are never compared; their digest and size are.
    """
    if notebooks.as_text(_comparable(committed)) == notebooks.as_text(_comparable(fresh)):
        return ""
    for n, (old, new) in enumerate(zip(committed["cells"], fresh["cells"], strict=False), 1):
        if _comparable({"cells": [old]}) != _comparable({"cells": [new]}):
            return f"cell {n} is stale: {notebooks.source_of(new).strip().splitlines()[0][:60]}"
    return "its metadata is stale"


def _comparable(book: dict[str, Any]) -> dict[str, Any]:
    cells = []
    for cell in book["cells"]:
        outputs = []
        for output in cell.get("outputs", []):
            data = {mime: value for mime, value in output.get("data", {}).items() if mime != "image/png"}
            outputs.append({**output, "data": data, "picture": "image/png" in output.get("data", {})})
        cells.append({**cell, "source": notebooks.source_of(cell), "outputs": outputs})
    return {**book, "cells": cells}
