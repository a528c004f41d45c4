"""One hold as the estimate sees it: readings in bins, the columns of line and settles, a first look; s and bar."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.trace.bins import Bins, binned
from steadyneedle.bench.trace.drifts import drifts_in_bins
from steadyneedle.bench.trace.evidence import Evidence, Sites
from steadyneedle.bench.trace.settle_law import SettleLaw

FIRST_DRIFTS = (0, 4, 8, 13)
"""Rows of the law's drifts for a first look: none, small and slow, middling and quick, large."""


@dataclass(frozen=True)
class Gathered:
    """Readings of a hold.

    `reading`, shape (n,), is less `reference` [bar]; `columns`, shape (b, 2 + c), are level, climb from the `middle` of
    the watch on [min] and what each settle of 1 bar does, as means of bins; `slopes`, shape (b,), is the climb within
    each bin [bar/s] by a first look, `squares`, shape (b,), what it leaves of the readings about their mean [bar2];
    `few` is the law with a few of its drifts.
    """

    time: np.ndarray
    reading: np.ndarray
    division: float
    reference: float
    law: SettleLaw
    bins: Bins
    middle: float
    columns: np.ndarray
    few: Evidence
    slopes: np.ndarray
    squares: np.ndarray

    def evidence(self, which: np.ndarray) -> Evidence:
        """The law with the drifts `which`, before any reading."""
        drifts = drifts_in_bins(self.bins, self.law, which)
        return Evidence(self.columns, drifts, self.law.drift_log_weights[which], self.law.settles)


def gathered(time: np.ndarray, reading: np.ndarray, division: float) -> Gathered:
    """Gather the readings of a hold.

    Parameters
    ----------
    time : array, shape (n,)
        Times from 0 [s], in order, at least three.
    reading : array, shape (n,)
        Readings [bar].
    division : float
        Step between two readings [bar], above 0.

    Returns
    -------
    Gathered
        With a first look at its slopes: each bin as one reading with a noise of a third of a division.

    References
    ----------
    Our own choice; the law is `datasets/settle_law.csv`.

    Examples
    --------
    >>> held = gathered(np.arange(0.0, 60.0), 9.8 + np.arange(60.0) / 60, 0.01)
    >>> print(f"{60 * held.slopes[-1]:.1f} bar/min")
    1.0 bar/min
    """
    law, reference = SettleLaw.shipped(), float(np.median(reading))
    reading = reading - reference
    bins, middle = binned(time, reading, division), float(time[-1]) / 2
    settled = [
        np.add.reduceat(-np.expm1(-time / constant), bins.begin) / bins.count for constant in law.constants.tolist()
    ]
    columns = np.column_stack([np.ones(bins.count.size), (bins.middle - middle) / 60, *settled])
    which = np.array(FIRST_DRIFTS)
    few = Evidence(columns, drifts_in_bins(bins, law, which), law.drift_log_weights[which], law.settles)
    precision = np.full(bins.count.size, 1 / (division**2 / 12 + division**2 / 9))
    line, settles = few.condition(Sites(precision, precision * bins.mean)).coefficients()
    slopes = line[1] / 60 + np.exp(-bins.middle[:, np.newaxis] / law.constants) / law.constants @ settles
    off = reading - np.repeat(bins.mean, bins.count)
    off -= np.repeat(slopes, bins.count) * (time - np.repeat(bins.middle, bins.count))
    squares = np.add.reduceat(off**2, bins.begin)
    return Gathered(time, reading, division, reference, law, bins, middle, columns, few, slopes, squares)
