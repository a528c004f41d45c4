"""The computed datasets: which there are, whether their inputs have changed since, and how to compute them afresh.

Computing takes up to minutes, so a check computes nothing. It compares the digest of every input with the one kept in
`datasets/digests.csv` when the dataset was computed, and the dataset itself with what was written then.
"""

from __future__ import annotations

import csv
import difflib
import io
import shutil
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from steadyneedle.bench.cleaning import grid as cleaning_grid
from steadyneedle.bench.diagnosis import counted, pairs, signals, ten_seconds
from steadyneedle.bench.diagnosis.knowledge import TABLES
from steadyneedle.foundation import datasets, places
from steadyneedle.foundation.datasets import Computed, DatasetError
from steadyneedle.foundation.store import write_atomically
from steadyneedle.jobs import recordings
from steadyneedle.physics import air_tables
from steadyneedle.refresh.in_parts import kept_parts, rows_in_parts
from steadyneedle.refresh.inputs import inputs_of, rows_digest

COMPUTED: dict[str, Computed] = {
    # those that others are made from come first
    "air_real_gas_factor": air_tables.REAL_GAS_FACTOR,
    "air_enthalpy": air_tables.ENTHALPY,
    "nine_traces": recordings.NINE_TRACES,
    "logs/class_reading": recordings.CLASS_READING,
    "ten_seconds": ten_seconds.TEN_SECONDS,
    "telling_apart": pairs.TELLING_APART,
    "cleaning/grid": cleaning_grid.CHOICES,
    **{name: counted.with_gauges(design) for design, name in TABLES.items()},
    "diagnosis/signals": signals.SIGNALS,
}
"""Name below `datasets` to the maker."""

IN_PARTS = tuple(TABLES.values())
"""Those that take so long that two processes compute them, and that an interruption must not cost everything."""

KEPT_HEADER = ("dataset", "input", "digest", "source")
KEPT_SOURCE = "computed: steadyneedle refresh --datasets"
ALL = "all"


def named(name: str) -> list[str]:
    """The datasets that a name means: one, or every one.

    Raises
    ------
    DatasetError
        No computed dataset has this name.

    Examples
    --------
    >>> named("telling_apart"), named("all") == list(COMPUTED)
    (['telling_apart'], True)
    """
    if name == ALL:
        return list(COMPUTED)
    if name in COMPUTED:
        return [name]
    near = difflib.get_close_matches(name, COMPUTED, n=1)
    hint = f" Did you mean '{near[0]}'?" if near else ""
    raise DatasetError(f"There is no computed dataset '{name}'.{hint} There are {', '.join(COMPUTED)}.")


def stale(name: str) -> str:
    """Why a dataset may not be what its maker would write now, in words; empty where nothing has changed."""
    path, kept = _path(name), _kept().get(name)
    if not path.is_file():
        return f"datasets/{name}.csv is missing"
    if kept is None:
        return "it is not known what it was computed from"
    now = _stamp(name)
    itself = f"datasets/{name}.csv"
    if now.get(itself) != kept.get(itself):
        return f"{itself} was changed by hand since it was computed"
    changed = sorted(one for one in now.keys() | kept.keys() if now.get(one) != kept.get(one))
    if not changed:
        return ""
    shown = ", ".join(changed[:3]) + (f" and {len(changed) - 3} more" if len(changed) > 3 else "")
    return f"{shown} {'have' if len(changed) > 1 else 'has'} changed since it was computed"


def refresh(name: str, tell: Callable[[str], None]) -> None:
    """Compute a dataset and keep it with the digests of its inputs; an interruption leaves the old one.

    Raises
    ------
    DatasetError
        Something that it needs is missing, or an input changed on the way: nothing is written.
    OSError
        The files cannot be written.
    """
    one, path = COMPUTED[name], _path(name)
    before = inputs_of(one.module)
    tell(f"{name}: computing")
    folder = kept_parts(name, before)
    rows = rows_in_parts(name, one, folder, tell) if name in IN_PARTS else made(one)
    if inputs_of(one.module) != before:
        raise DatasetError(f"Nothing written: an input of {name} changed while it was computed. Compute it again.")
    old = path.read_bytes().splitlines() if path.is_file() else []
    new = _as_bytes(one.header, rows)
    same = new.splitlines() == old
    if not same:
        write_atomically(path, new)
    _keep(name)
    shutil.rmtree(folder, ignore_errors=True)
    fresh = len(set(new.splitlines()) - set(old))
    tell(f"{name}: {f'the same {len(rows)} rows' if same else f'{fresh} of {len(rows)} rows are new'}")


def made(one: Computed) -> list[tuple[str, ...]]:
    """The rows of a dataset, computed.

    Raises
    ------
    DatasetError
        Something that the maker needs is missing.
    """
    return [row for part in one.parts() for row in one.rows(part)]


def _path(name: str) -> Path:
    return places.datasets() / f"{name}.csv"


def _stamp(name: str) -> dict[str, str]:
    """The inputs of a dataset and the dataset itself, each with its digest."""
    return {**inputs_of(COMPUTED[name].module), f"datasets/{name}.csv": rows_digest(_path(name))}


def _kept() -> dict[str, dict[str, str]]:
    """What `_keep` kept: dataset to its inputs' digests."""
    path, found = _path("digests"), dict[str, dict[str, str]]()
    if path.is_file():
        header, rows = datasets.read_rows(path)
        if tuple(header) != KEPT_HEADER:
            raise DatasetError(f"{path.name} must have the columns {', '.join(KEPT_HEADER)}.")
        for _, (name, one, digest, _) in rows:
            found.setdefault(name, {})[one] = digest
    return found


def _keep(name: str) -> None:
    kept = {**_kept(), name: _stamp(name)}
    rows = [
        (known, one, digest, KEPT_SOURCE) for known in COMPUTED for one, digest in sorted(kept.get(known, {}).items())
    ]
    write_atomically(_path("digests"), _as_bytes(KEPT_HEADER, rows))


def _as_bytes(header: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue().encode("utf-8")
