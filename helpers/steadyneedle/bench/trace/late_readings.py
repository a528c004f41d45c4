"""Last readings of a log: one taken late counts, one whose time is a slip does not, and none that is high is lost."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

APART = 5.0
"""Usual steps between the first or the last time and the next to it: more, and it may be a slip (our choice)."""

TOO_LATE = 3600.0
"""s from one reading to the next; nobody looks again so much later within one log (our choice)."""

LATE = 2.0
"""Usual steps after which a last reading is a second look: it may differ from those before (our choice)."""

HIGHER = 0.1
"""bar above the last readings that are kept, from which one that is left out may be the needle's (our choice)."""

BEFORE = 5
"""Readings at the end that one left out is held against."""

TWICE = 2.0
"""Times the usual reading, from which even a last one is sooner a slip of two digits than the needle (our choice)."""

TENS = (10.0, 100.0, 0.1, 0.01)
NEAR = 0.1
"""A decimal mark lost or moved multiplies by a power of ten; and the share by which the needle moved meanwhile."""


@dataclass(frozen=True)
class LeftOut:
    """A pressure [bar] that was left out, what it is called, and whether it is the last and off those before it."""

    name: str
    pressure: float
    last: bool


def times_apart(time: np.ndarray, texts: Sequence[str]) -> np.ndarray:
    """A first or a last time that is a slip of digits, or hours away from the rest.

    Parameters
    ----------
    time : array, shape (n,)
        Times in order [s], at least three.
    texts : sequence of str
        The first and the last as written, or nothing.

    Returns
    -------
    array of bool, shape (n,)
        True at the first or the last.

    References
    ----------
    Our choice.

    Examples
    --------
    >>> times_apart(np.array([0, 15, 30, 45, 600.0]), []).tolist()[-1]  # ten times 60
    True
    >>> times_apart(np.array([0, 15, 30, 45, 645.0]), []).tolist()[-1]  # a second look after ten minutes
    False
    """
    steps = np.diff(time)
    usual, out = float(np.median(steps)), np.zeros(time.size, bool)
    for end, beside, step in ((0, 1, -usual), (-1, -2, usual)):
        away = abs(float(time[end] - time[beside]))
        if away > APART * usual:
            text = texts[end] if len(texts) else ""
            out[end] = away > TOO_LATE or _slip_of_time(float(time[end]), text, float(time[beside]) + step, usual / 4)
    return out


def _slip_of_time(time: float, text: str, expected: float, near: float) -> bool:
    """Whether a time is the one expected, but for a lost mark, a nought too many, or two digits swapped."""
    meant = [*(time / ten for ten in TENS), *_swapped(time, text)]
    return any(abs(one - expected) <= near for one in meant)


def _swapped(value: float, text: str) -> list[float]:
    """What a number would be with two digits beside one another in its text swapped."""
    try:
        typed = float(text.replace(",", "."))
    except ValueError:
        return []
    pairs = [(at, at + 1) for at in range(len(text) - 1) if text[at : at + 2].isdigit()]
    if "." in text or "," in text:  # 10.2 and 12.0
        mark = max(text.find("."), text.find(","))
        pairs += [(mark - 1, mark + 1)] if 0 < mark < len(text) - 1 else []
    others = (text[:low] + text[high] + text[low + 1 : high] + text[low] + text[high + 1 :] for low, high in pairs)
    return [float(one.replace(",", ".")) * value / typed for one in others] if typed else []


def looks_again(time: np.ndarray) -> bool:
    """Whether the last reading was taken so late after the one before that the needle may have gone elsewhere.

    Parameters
    ----------
    time : array, shape (n,)
        Times in order [s], at least two.

    Returns
    -------
    bool
        Whether it comes more than two usual steps later.

    References
    ----------
    Our choice.

    Examples
    --------
    >>> looks_again(np.array([0, 15, 30, 90.0])), looks_again(np.array([0, 15, 30, 45.0]))
    (True, False)
    """
    steps = np.diff(time)
    return float(steps[-1]) > LATE * float(np.median(steps))


def slip_of_ten(pressure: float, beside: float) -> bool:
    """Whether a pressure is the one beside it with its decimal mark lost or moved.

    Parameters
    ----------
    pressure, beside : float
        In the same unit.

    Returns
    -------
    bool
        Whether a power of ten lies between them, give or take a tenth.

    References
    ----------
    Our choice.

    Examples
    --------
    >>> slip_of_ten(91, 9.1), slip_of_ten(12.0, 9.1)
    (True, False)
    """
    return any(abs(pressure - ten * beside) <= NEAR * ten * beside for ten in TENS)


def left_out_but_meant(
    time: np.ndarray, pressure: np.ndarray, kept: np.ndarray, name: Callable[[int], str], texts: Sequence[str]
) -> tuple[LeftOut, ...]:
    """Pressures that were left out and may be the needle's all the same: no slip, higher than all that is kept, or off
    the last ones and the last.

    Parameters
    ----------
    time, pressure : array, shape (n,)
        All rows [s], [bar], NaN where a cell is no number.
    kept : array of int, shape (k,)
        Rows that were kept, at least one.
    name : callable
        From a row's number, from 0, to what it is called.
    texts : sequence of str
        The pressures as written, or nothing.

    Returns
    -------
    tuple of LeftOut
        In order of rows.

    References
    ----------
    Our choice of thresholds.

    Examples
    --------
    >>> time, pressure = np.arange(0, 60, 10.0), np.array([9.1, 9.1, 9.1, 9.1, 9.1, 12.0])
    >>> left_out_but_meant(time, pressure, np.arange(5), lambda n: f"Row {n}", [])
    (LeftOut(name='Row 5', pressure=12.0, last=True),)
    """
    out = np.ones(pressure.size, bool)
    out[kept] = False
    ends, usual = pressure[kept[-BEFORE:]], float(np.median(pressure[kept]))
    highest, last = float(pressure[kept].max()), int(np.flatnonzero(np.isfinite(pressure))[-1])
    high = float(ends.max()) + HIGHER
    late = time[last] - time[kept[-1]] > LATE * float(np.median(np.diff(time[kept])))
    low = float(ends.min()) - HIGHER if late else -np.inf
    found = []
    for at in np.flatnonzero(out & np.isfinite(pressure)).tolist():
        one = float(pressure[at])
        off = at == last and (one > high or usual / 2 < one < low)
        beside = pressure[kept[max(int(np.searchsorted(kept, at)) - BEFORE, 0) :][: 2 * BEFORE]]
        meant = _swapped(one, texts[at]) if len(texts) and (not off or one > TWICE * usual) else []
        slip = slip_of_ten(one, usual) or any(np.abs(beside - other).min() <= HIGHER for other in meant)
        if (one > highest + HIGHER or off) and not slip:
            found.append(LeftOut(name(at), one, off))
    return tuple(found)
