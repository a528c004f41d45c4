"""Fewer samples that draw the same line: what a straight line between two others would miss is kept."""

from __future__ import annotations

import numpy as np


def thinned(times: np.ndarray, values: np.ndarray, tolerance: float) -> np.ndarray:
    """Which samples to keep so that straight lines between them stay within a tolerance of every one dropped.

    Parameters
    ----------
    times : array, shape (n,)
        In order; an instant may stand twice.
    values : array, shape (m, n)
        Rows of samples, in one unit; they are thinned together.
    tolerance : float
        In the unit of the values, above 0.

    Returns
    -------
    numpy.ndarray, shape (k,)
        Indices, first and last sample among them.

    Examples
    --------
    >>> thinned(np.arange(5.0), np.array([[0.0, 1.0, 2.0, 3.0, 0.0]]), 0.1).tolist()
    [0, 3, 4]
    """
    kept = [0]
    columns = [values[row].tolist() for row in range(values.shape[0])]
    clock = times.tolist()
    low, high = [-np.inf] * len(columns), [np.inf] * len(columns)
    for n in range(1, len(clock)):
        span = clock[n] - clock[kept[-1]]
        slopes = [((c[n] - c[kept[-1]]) / span if span > 0 else np.nan) for c in columns]
        if span <= 0 or any(not (a <= s <= b) for a, s, b in zip(low, slopes, high, strict=True)):
            if kept[-1] != n - 1:
                kept.append(n - 1)
            span = clock[n] - clock[kept[-1]]
            low, high = [-np.inf] * len(columns), [np.inf] * len(columns)
        if span > 0:
            for k, column in enumerate(columns):
                rise = column[n] - column[kept[-1]]
                low[k], high[k] = max(low[k], (rise - tolerance) / span), min(high[k], (rise + tolerance) / span)
        else:
            kept.append(n)
    if kept[-1] != len(clock) - 1:
        kept.append(len(clock) - 1)
    return np.array(kept)
