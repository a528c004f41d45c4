"""The step between two possible readings of a log, read off the readings and how they are written."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

ENOUGH = 4
"""Different readings from which on their common step is the division."""

MARKS = (5, 2, 1)
"""Steps of a scale are 1, 2 or 5 of a power of ten (EN 837-1)."""

COARSEST, USUAL, ODD = 1.0, 0.1, 0.2
"""bar: no step is taken to be coarser; what a reader is taken to tell where nothing shows it; and the step up to which
readings may be converted from another unit, so that their step is no 1, 2 or 5 (all invented)."""

FINEST_PLACES = 3
"""Decimals; readings with more are converted or reckoned."""

FAR = 0.6
"""bar from the commonest reading beyond which another is of a purge, or a slip."""

LOOKED_AT = 200
"""Cells whose decimals are counted at most."""

_DIGITS = re.compile(r"\d[\d.,]*")


@dataclass(frozen=True)
class Division:
    """A step between two possible readings, in the log's unit, and whether readings and cells show it."""

    step: float
    sure: bool


def division_of(values: np.ndarray, cells: Sequence[str], bar: float) -> Division:
    """The step between two possible readings.

    Four different readings and more show it by their common step. Fewer may lie several steps apart: then it is the
    coarsest that they allow, up to 0.1 bar where a text shows how finely somebody read: a step taken too coarse ends in
    "cannot tell", one too fine in a wrong answer. Somebody who writes tenths reads tenths.

    Parameters
    ----------
    values : array, shape (n,)
        Readings in the log's unit, at least one, finite.
    cells : sequence of str
        The same as written, or nothing where numbers came without a text.
    bar : float
        What one of the unit is in bar, above 0.

    Returns
    -------
    Division
        In the log's unit.

    References
    ----------
    Steps of 1, 2 or 5: EN 837-1:1996; the rest is our choice.

    Examples
    --------
    >>> division_of(np.array([10.0, 10.0]), ["10.0", "10.0"], 1.0).step
    0.1
    >>> division_of(np.array([9.0, 9.05]), ["9.00", "9.05"], 1.0).step
    0.05
    >>> division_of(np.array([10.0, 10.0]), [], 1.0)
    Division(step=1.0, sure=False)
    """
    distinct, count = np.unique(np.round(values, 9), return_counts=True)
    places = _places(distinct)
    written = _decimals(values, cells)
    if distinct.size >= ENOUGH:
        steps = np.diff(distinct)
        return Division(float(steps.min()) if places > FINEST_PLACES else _common(steps, places) * 10.0**-places, True)
    near = _nearby(distinct, count, bar)
    purged, distinct = near.size < distinct.size, near
    places, steps = _places(distinct), np.diff(distinct)
    if places > FINEST_PLACES and (written is None or not steps.size):
        return Division(float(steps.min()) if steps.size else USUAL / bar, bool(steps.size))
    most = COARSEST if written is None or steps.size else USUAL
    if purged:  # a step so coarse that it hides the purge would make a rise of it
        most = min(most, ODD)
    last = max(places, written or 0)
    while written is None and bar * 10.0**-last > most:
        last += 1
    common = _common(steps if steps.size else np.abs(distinct), last)
    step = _coarsest(common, bar * 10.0**-last, most, bool(steps.size), written)
    return Division(step * 10.0**-last, written is not None)


def _coarsest(common: int, unit: float, most: float, moved: bool, written: int | None) -> int:
    """The coarsest step that goes into so many units [bar] of the last decimal, in these units."""
    if moved and common * unit <= ODD and not (written and common % 10 == 0):
        return common
    if written:  # nobody writes a nought that no reading can be without
        powers: tuple[int, ...] = (1,)
    else:
        powers = tuple(10**power for power in range(8, -1, -1))
    steps = (mark * power for power in powers for mark in MARKS)
    return next((step for step in steps if common % step == 0 and step * unit <= most * (1 + 1e-9)), 1)


def _places(distinct: np.ndarray) -> int:
    """Decimals that the values need; 6 where they need more."""
    for places in range(7):
        whole = distinct * 10.0**places
        if np.abs(whole - np.round(whole)).max() < 1e-4:
            break
    return places


def _common(steps: np.ndarray, places: int) -> int:
    return max(math.gcd(*(round(step * 10**places) for step in steps.tolist())), 1)


def _nearby(distinct: np.ndarray, count: np.ndarray, bar: float) -> np.ndarray:
    """Values without those of purges and slips, further from the commonest than any scale's step."""
    usual = distinct[int(count.argmax())]
    return distinct[np.abs(distinct - usual) * bar <= FAR]


def _decimals(values: np.ndarray, cells: Sequence[str]) -> int | None:
    """Most decimals that were written; None without a text. The value says which mark is the decimal one."""
    found = []
    for value, cell in zip(values[:LOOKED_AT].tolist(), cells[:LOOKED_AT], strict=False):
        digits = _DIGITS.search(cell)
        if digits is None or "e" in cell.lower():
            continue  # a power of ten does not show how finely somebody read
        whole = int(re.sub(r"\D", "", digits[0]))
        if whole and value:
            found.append(max(round(math.log10(whole / abs(value))), 0))
        elif not whole:
            found.append(len(re.split(r"[.,]", digits[0])[-1]) if re.search(r"[.,]", digits[0]) else 0)
    return max(found, default=None)
