"""The step between two possible readings of a log, read off the readings and how they are written."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.trace.log_columns import bar_per

ENOUGH = 4
"""Different readings from which on their common step is the division."""

MARKS = (5, 2, 1)
"""Steps of a scale are 1, 2 or 5 of a power of ten (EN 837-1)."""

QUARTERS = 25
"""Of the last decimal: a step of 0.25 bar, or of 25 kPa, which some scales have too (common practice, no source)."""

COARSEST, USUAL, ODD = 1.0, 0.1, 0.2
"""bar: no step is taken to be coarser; what a reader is taken to tell where nothing shows it; and the step up to which
readings may be converted from another unit, so that their step is no 1, 2 or 5 (all invented)."""

FINEST_PLACES = 3
"""Decimals; readings with more are converted or reckoned."""

FAR = 0.6
"""bar from the commonest reading beyond which another is of a purge, or a slip."""

LOOKED_AT = 200
"""Cells whose decimals are counted at most."""

_STATED = re.compile(
    r"[(\[]?\b(?:divisions?|graduations?|resolution|steps? of)\b[ :=]*(?:of|is)?[ :=]*"
    r"(\d+(?:[.,]\d+)?|[.,]\d+) *([^\W\d_][^\s;,)\]]*)[)\]]?",
    re.I,
)
"""What somebody writes above the columns: division 0.1 bar."""

LONGEST_HEAD = 4000
"""Characters among which it is looked for."""

_DIGITS = re.compile(r"\d[\d.,]*")


@dataclass(frozen=True)
class Division:
    """A step between two possible readings, in the log's unit, and whether readings and cells show it; `as_written` is
    the finer one that is written where all readings are multiples of a coarser, so that this is taken for the step."""

    step: float
    sure: bool
    as_written: float | None = None


def division_of(values: np.ndarray, cells: Sequence[str], bar: float) -> Division:
    """The step between two possible readings.

    Four different readings and more show it by their common step. Fewer may lie several steps apart: then it is the
    coarsest that they allow, up to 0.1 bar where a text shows how finely somebody read: a step taken too coarse ends in
    "cannot tell", one too fine in a wrong answer. Somebody who writes tenths reads tenths, unless all that is written
    goes with a step of 0.5 bar, 50 kPa or 5 psi.

    Parameters
    ----------
    values : array, shape (n,)
        Readings in the log's unit, at least one, finite.
    cells : sequence of str
        The first of them as written, or nothing where numbers came without a text.
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
    >>> division_of(np.array([9.8, 9.8]), ["9.8", "9.8"], 1.0).step
    0.1
    >>> division_of(np.array([10.0, 10.0]), ["10.0", "10.0"], 1.0)
    Division(step=0.5, sure=True, as_written=0.1)
    >>> division_of(np.array([9.0, 9.05]), ["9.00", "9.05"], 1.0).step
    0.05
    >>> division_of(np.array([10.0, 10.0]), [], 1.0)
    Division(step=1.0, sure=False, as_written=None)
    """
    distinct, count = np.unique(np.round(values, 9), return_counts=True)
    places = _places(distinct)
    written = _decimals(values, cells)
    if distinct.size >= ENOUGH:
        steps = np.diff(distinct)
        step = float(steps.min()) if places > FINEST_PLACES else _on_scale(distinct, steps, places, bar)
        return Division(step, True)
    near = _nearby(distinct, count, bar)
    hidden = _hidden(distinct, written, bar)  # those of a purge show the step too
    if hidden is not None and near.size > 1:
        return Division(hidden, True)
    few = _of_few(near, near.size < distinct.size, written, bar)
    return few if hidden is None else Division(hidden, True, few.step)


def _of_few(distinct: np.ndarray, purged: bool, written: int | None, bar: float) -> Division:
    """The step that fewer than four different readings allow, as `division_of` says."""
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


def stated_division(text: str) -> tuple[float | None, str]:
    """The step that somebody wrote above the columns, such as `division 0.1 bar`, and the text without it.

    Parameters
    ----------
    text : str
        A log; lines end with a newline.

    Returns
    -------
    tuple of float or None, str
        In bar, above 0; None where no such words with a number and a unit of pressure stand in its first rows.

    References
    ----------
    The grammar is ours.

    Examples
    --------
    >>> stated_division("Division: 0,1 bar\\ntime_s;pressure_bar"), stated_division("Division 3")
    ((0.1, '\\ntime_s;pressure_bar'), (None, 'Division 3'))
    """
    for found in _STATED.finditer(text[:LONGEST_HEAD]):
        scale, step = bar_per(found[2]), float(found[1].replace(",", "."))
        if scale is not None and step > 0:
            return step * scale, text[: found.start()] + text[found.end() :]
    return None, text


def _coarsest(common: int, unit: float, most: float, moved: bool, written: int | None) -> int:
    """The coarsest step that goes into so many units [bar] of the last decimal, in these units."""
    if moved and common * unit <= ODD and not (written and common % 10 == 0):
        return common
    if moved and common % QUARTERS == 0 and (common // QUARTERS) % 2 and QUARTERS * unit <= most:
        return QUARTERS
    if written:  # nobody writes a nought that no reading can be without
        powers: tuple[int, ...] = (1,)
    else:
        powers = tuple(10**power for power in range(8, -1, -1))
    steps = (mark * power for power in powers for mark in MARKS)
    return next((step for step in steps if common % step == 0 and step * unit <= most * (1 + 1e-9)), 1)


def _on_scale(distinct: np.ndarray, steps: np.ndarray, places: int, bar: float) -> float:
    """The common step of many readings; one too coarse to be converted from another unit lies on a scale from 0 on."""
    common, unit = _common(steps, places), 10.0**-places
    if common * unit * bar <= ODD:
        return common * unit
    whole = math.gcd(common, _common(np.abs(distinct), places))
    if common <= MARKS[0] * whole:  # else every reading was corrected by the same
        common = whole
    powers = [10**power for power in range(8, -1, -1)]
    marks = sorted((mark * power for power in powers for mark in (QUARTERS, *MARKS)), reverse=True)
    return next(mark for mark in marks if common % mark == 0) * unit


def _hidden(distinct: np.ndarray, written: int | None, bar: float) -> float | None:
    """The step coarser than a converted one of which all readings are multiples, written finer or not; else None."""
    if written is None:
        return None
    unit = 10.0**-written
    whole = distinct / unit
    if np.abs(whole - np.round(whole)).max() > 1e-4:
        return None
    common = _common(np.abs(distinct), written)
    # nobody writes a nought that no reading can be without
    marks = (MARKS[0],) if written else tuple(mark * 10**power for power in range(8) for mark in MARKS[::-1])
    far = (mark for mark in marks if ODD * (1 + 1e-9) < mark * unit * bar <= COARSEST * (1 + 1e-9))
    found = next((mark for mark in far if common % mark == 0), None)
    return None if found is None else found * unit


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
