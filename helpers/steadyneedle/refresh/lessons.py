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
from steadyneedle.foundation.store import write_atomically

KERNEL_WARNINGS = ",".join(
    (
        "error",
        "ignore::PendingDeprecationWarning:ipykernel.kernelbase",
        "ignore:There is no current event loop:DeprecationWarning:tornado.ioloop",
    )
)
"""Warnings are errors in lesson kernels. Two of the kernel's own are not: at its shutdown, and at its start on
Python 3.12 and 3.13."""


class LessonError(RuntimeError):
    """A lesson does not run; the sentence says which and why."""


def refresh(folder: Path, check: bool, tell: Callable[[str], None]) -> list[str]:
    """Refresh the lessons of a folder; with `check` only name those that are stale.

    Parameters
    ----------
    folder : Path
        With the lessons, at any depth.
    check : bool
        Whether to change nothing.
    tell : callable
        Is given a line about each lesson.

    Returns
    -------
    list of str
        Names of the lessons that are still stale: with `check` every stale one, else those that do not run.

    Raises
    ------
    NotebookError
        There is no such folder, no lesson in it, or one is damaged.
    OSError
        A lesson cannot be written.
    """
    paths = [path for path in sorted(folder.rglob("*.ipynb")) if ".ipynb_checkpoints" not in path.parts]
    if not paths:
        what = "no lesson in the folder" if folder.is_dir() else "no folder"
        raise notebooks.NotebookError(f"There is {what} {folder}. Leave it out for the repository's lessons.")
    return [path.name for path in paths if not _refreshed(path, check, tell)]


def _refreshed(path: Path, check: bool, tell: Callable[[str], None]) -> bool:
    """Whether a lesson is fresh in the end."""
    committed = notebooks.read(path)
    try:
        fresh = run(path)
    except LessonError as error:
        tell(str(error))
        return False
    why = difference(committed, fresh)
    tell(f"{path.name}: {why or 'fresh'}")
    if why and not check:
        write_atomically(path, notebooks.as_text(fresh).encode("utf-8"))
    return not (why and check)


def run(path: Path) -> dict[str, Any]:
    """A lesson freshly run, as it is committed.

    Raises
    ------
    LessonError
        A cell of it fails, takes too long or ends its kernel.
    """
    import nbformat
    from nbclient import NotebookClient
    from nbclient.exceptions import CellExecutionError, CellTimeoutError, DeadKernelError

    book = nbformat.read(path, as_version=4)
    with tempfile.TemporaryDirectory() as work, _environment(work):
        resources = {"metadata": {"path": str(path.parent)}}
        client = NotebookClient(
            book, timeout=120, kernel_name="python3", resources=resources, extra_arguments=["--log-level=40"]
        )
        try:
            client.execute()
        except CellExecutionError as error:
            raise LessonError(f"{path.name} does not run: {error.ename}: {error.evalue}") from error
        except (CellTimeoutError, DeadKernelError) as error:
            raise LessonError(f"{path.name} does not run: {str(error).strip().splitlines()[0]}") from error
    plain: dict[str, Any] = json.loads(nbformat.writes(book))
    return notebooks.freshly_run(plain, notebooks.mark_of(path))


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
