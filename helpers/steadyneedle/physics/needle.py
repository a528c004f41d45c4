"""What a gauge makes of a pressure, and the log that a person or a cheap transducer writes. SI, over ambient."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.foundation.draws import Draws


def shown(
    time: ArrayLike, pressure: ArrayLike, offset: float = 0.0, sticks: float = 0.0, taps: Iterable[float] = ()
) -> np.ndarray:
    """Where the needle of a gauge stands: off by a constant, and held by friction until the gauge is tapped.

    Parameters
    ----------
    time : array, shape (n,)
        Times [s], in order.
    pressure : array, shape (n,)
        True pressure [Pa] at those times.
    offset : float
        Error of the gauge [Pa].
    sticks : float
        How far the pressure may move before the needle follows [Pa], not below 0.
    taps : iterable of float
        Times at which somebody taps the gauge [s].

    Returns
    -------
    numpy.ndarray, shape (n,)
        Needle position [Pa].

    Raises
    ------
    ValueError
        Times and pressures of different shapes, or `sticks` below 0.

    References
    ----------
    Dry friction of a pointer; common practice, no source.

    Examples
    --------
    >>> shown([0, 1, 2, 3], [0.0, 5.0, 9.0, 9.0], sticks=2.0, taps=[2.5]).tolist()
    [0.0, 3.0, 7.0, 9.0]
    """
    times, true = np.asarray(time, float), np.asarray(pressure, float)
    if times.shape != true.shape or sticks < 0:
        raise ValueError("time and pressure must be of one shape, sticks must not be below 0 Pa.")
    if not sticks or not times.size:
        return true + offset
    waiting = sorted(tap for tap in taps if tap > times[0])  # before the first reading nothing hangs yet
    needle, at, made = float(true[0]), 0, np.empty_like(true)
    for n, (now, here) in enumerate(zip(times.tolist(), true.tolist(), strict=True)):
        # the pressure drags the pointer along once it is further away than friction can hold
        needle = min(max(needle, here - sticks), here + sticks)
        while at < len(waiting) and waiting[at] <= now:
            needle, at = here, at + 1
        made[n] = needle
    return made + offset


def log(
    time: ArrayLike,
    pressure: ArrayLike,
    every: float,
    division: float,
    noise: float = 0.0,
    seed: int = 0,
) -> tuple[np.ndarray, np.ndarray]:
    """A log of a needle: read at equal times, with noise, rounded to a division.

    A person reads every 15 s to 0.1 bar; a cheap transducer ten times a second to 0.02 bar with some noise.

    Parameters
    ----------
    time : array, shape (n,)
        Times [s], in order.
    pressure : array, shape (n,)
        Needle position [Pa] at those times.
    every : float
        Time between two readings [s], above 0.
    division : float
        What readings are rounded to [Pa], above 0.
    noise : float
        Standard deviation of the noise [Pa], not below 0.
    seed : int
        Which noise [-].

    Returns
    -------
    tuple of numpy.ndarray, each of shape (m,)
        Times from 0 [s] and readings [Pa].

    Raises
    ------
    ValueError
        `every` or `division` not above 0, `noise` below 0.

    References
    ----------
    Definition; typical values are common practice, no source.

    Examples
    --------
    >>> times, readings = log([0.0, 60.0], [9.84e5, 10.44e5], every=15.0, division=0.1e5)
    >>> (readings / 1e5).round(1).tolist()
    [9.8, 10.0, 10.1, 10.3, 10.4]
    """
    if not every > 0 or not division > 0 or not noise >= 0:
        raise ValueError("every and division must be above 0, noise must not be below 0.")
    times, true = np.asarray(time, float), np.asarray(pressure, float)
    when = np.arange(0.0, times[-1] - times[0] + 1e-9, every)  # the last reading too, if it falls on the end
    values = np.interp(when + times[0], times, true)
    if noise:
        from scipy.special import ndtri

        draws = Draws("log", seed)
        fractions = np.array([draws.fraction() for _ in when])
        values = values + noise * ndtri(np.maximum(fractions, 1e-12))  # a fraction may be 0, a noise not infinite
    return when, np.round(values / division) * division
