"""A dataset of many parts, computed by two processes; each part is kept until the whole is written.

An interruption loses the parts that were being computed and no other: the next run goes on from the kept ones, as
long as no input has changed.
"""

from __future__ import annotations

import hashlib
import json
import multiprocessing
import os
import tempfile
import threading
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor, as_completed
from pathlib import Path

from steadyneedle.foundation.datasets import Computed
from steadyneedle.foundation.store import write_atomically

PROCESSES = 2


def kept_parts(name: str, inputs: dict[str, str]) -> Path:
    """Where the parts of a dataset are kept while it is computed; other inputs, another folder.

    Parameters
    ----------
    name : str
        Name of the dataset.
    inputs : dict
        As `inputs_of` gives them.

    Returns
    -------
    Path
        A folder of this user, in the system's folder for what is thrown away.

    Examples
    --------
    >>> kept_parts("diagnosis/some", {}).name.startswith("steadyneedle-diagnosis-some-")
    True
    """
    digest = hashlib.sha256(ascii(sorted(inputs.items())).encode("ascii")).hexdigest()[:16]
    user = getattr(os, "getuid", lambda: 0)()
    return Path(tempfile.gettempdir()) / f"steadyneedle-{name.replace('/', '-')}-{digest}-{user}"


def rows_in_parts(name: str, one: Computed, folder: Path, tell: Callable[[str], None]) -> list[tuple[str, ...]]:
    """The rows of a dataset, part by part; parts that are kept are read, the others computed by two processes.

    Parameters
    ----------
    name : str
        Name of the dataset in `COMPUTED`.
    one : Computed
        Its maker.
    folder : Path
        Where parts are kept.
    tell : callable
        Takes a line of progress.

    Returns
    -------
    list of tuple of str
        The rows, in the order of the parts.

    Raises
    ------
    DatasetError
        Something that the maker needs is missing.
    OSError
        A part cannot be written.
    """
    parts = one.parts()
    folder.mkdir(mode=0o700, exist_ok=True)
    waiting = [number for number in range(len(parts)) if _kept(folder, number) is None]
    if len(waiting) < len(parts):
        tell(f"{name}: {len(parts) - len(waiting)} of {len(parts)} parts are kept from before")
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(PROCESSES, context, _leave_with, (os.getpid(),)) as pool:
        running = [pool.submit(_compute, name, number, str(folder)) for number in waiting]
        try:
            for count, done in enumerate(as_completed(running), len(parts) - len(waiting) + 1):
                done.result()
                tell(f"{name}: part {count} of {len(parts)}")
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise
    return [row for number in range(len(parts)) for row in _kept(folder, number) or ()]


def _part(folder: Path, number: int) -> Path:
    return folder / f"{number:04}.json"


def _kept(folder: Path, number: int) -> list[tuple[str, ...]] | None:
    """The rows of a part that was computed before; None where it was not, or cannot be read."""
    try:
        return [tuple(row) for row in json.loads(_part(folder, number).read_text(encoding="utf-8"))]
    except (OSError, ValueError):
        return None


def _compute(name: str, number: int, folder: str) -> None:
    from steadyneedle.refresh.computed import COMPUTED

    one = COMPUTED[name]
    rows = one.rows(one.parts()[number])
    write_atomically(_part(Path(folder), number), json.dumps(rows).encode("utf-8"))


def _leave_with(parent: int) -> None:
    """End this process soon after the one that started it: killed, that one can tell nobody."""

    def watch() -> None:
        while os.getppid() == parent:
            time.sleep(1)
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()
