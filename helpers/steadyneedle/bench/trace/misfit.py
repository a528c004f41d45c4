"""Whether a needle behaves like settle and creep at all, or jumps, bends or wanders off: the law against others.

The same readings are given to the law and to needles that jump once, that change their climb once, and that go anywhere
smoothly. Where one of these explains them far better, no rate is to be stated. Seconds and bar.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.trace.drifts import drifts_in_bins
from steadyneedle.bench.trace.evidence import Conditioned, Evidence, Sites
from steadyneedle.bench.trace.gathered import Gathered
from steadyneedle.bench.trace.settle_law import Settles

FAR_BETTER = 6.0
"""Logarithm of how much better another explanation must be: a log of the law itself passes for something else in at
most one of exp(6) = 400 (Markov's inequality)."""

FEWEST_BINS = 8
"""With fewer there is nothing to tell a jump from a settle by."""

LAW_DRIFTS, LAW_SHARES = (0, 4, 7, 8, 10, 13), (0.60, 0.08, 0.10, 0.10, 0.08, 0.04)
"""Rows of the law's drifts that stand for all of them here, and their weights together."""

JUMPS = (0.05, 0.3, 1.5)
"""bar, standard deviation of a jump (invented)."""

BENDS = (0.05, 0.3, 2.0)
"""bar/min, standard deviation of a change of climb (invented)."""

SETTLE = 0.1
"""bar, standard deviation of a settle beside a jump or a bend (invented)."""

ANYWHERE, OVER = (0.1, 1.0, 5.0), (0.08, 0.3)
"""Standard deviation of a needle that goes anywhere smoothly [bar], and over which part of the watch (invented)."""

WINDOWS = (60, 20)
"""Parts of the readings before and after, of which a sharp jump shows."""

NOISES, STEP = 12, 1.6
"""So many white noises are tried, from 0.3 division on, each so many times the one before."""


@dataclass(frozen=True)
class Misfit:
    """What explains the readings better than the law: "jump", "bend" or "wander"; when [s] and by how much.

    `size` is the jump [bar] or the change of climb [bar/min], 0 for a needle that wanders; `better` the logarithm of
    how much better it explains them, below 0 where the law does.
    """

    kind: str
    time: float
    size: float
    better: float

    @property
    def refuses(self) -> bool:
        """Whether the needle does not behave like settle and creep."""
        return self.better > FAR_BETTER


def misfit_of(held: Gathered) -> Misfit:
    """What else than the law the readings could come from, and how much better it explains them.

    Parameters
    ----------
    held : Gathered
        Readings of one hold.

    Returns
    -------
    Misfit
        The best of the other explanations; `refuses` says whether it is far better.

    References
    ----------
    Bayes factors (Jeffreys 1961) with invented sizes of what else may happen; false alarms in tests/outside.

    Examples
    --------
    >>> from steadyneedle.bench.trace.gathered import gathered
    >>> time = np.arange(0.0, 300.0)
    >>> found = misfit_of(gathered(time, 9.8 + 0.3 * (time > 150), 0.02))
    >>> found.refuses, found.kind, round(found.time), round(found.size, 1)
    (True, 'jump', 151, 0.3)
    """
    if held.bins.count.size < FEWEST_BINS:
        return Misfit("wander", 0.0, 0.0, -np.inf)
    law, broken, anywhere = _law(held), _Broken(held), _anywhere(held)
    rows: list[tuple[Conditioned, ...]] = []
    for sites in _sites(held):
        rows.append(tuple(one.condition(sites) for one in (law, broken.evidence, anywhere)))
    scores = np.array([[one.log_evidence() for one in row] for row in rows])
    whole = scores.max() + np.log(np.exp(scores - scores.max()).sum(axis=0) + 1e-300)
    if whole[2] > whole[1]:
        return Misfit("wander", 0.0, 0.0, float(whole[2] - whole[0]))
    kind, time, size = broken.likeliest(rows[int(scores[:, 1].argmax())][1])
    return Misfit(kind, time, size, float(whole[1] - whole[0]))


def _law(held: Gathered) -> Evidence:
    drifts = drifts_in_bins(held.bins, held.law, np.array(LAW_DRIFTS))
    return Evidence(held.columns, drifts, np.log(LAW_SHARES), held.law.settles)


def _anywhere(held: Gathered) -> Evidence:
    """Level, climb and a smooth path of any size."""
    middle, floor = held.bins.middle, drifts_in_bins(held.bins, held.law, np.array([0]))[0]
    apart = (middle[:, np.newaxis] - middle) / held.time[-1]
    drifts = np.array([floor + size**2 * np.exp(-0.5 * (apart / over) ** 2) for size in ANYWHERE for over in OVER])
    settles = Settles(np.array([0]), np.array([1]), np.zeros(1), np.zeros(1), np.zeros(1))
    return Evidence(held.columns, drifts, np.full(len(drifts), -np.log(len(drifts))), settles)


class _Broken:
    """A needle that settles perhaps, and jumps or bends once."""

    def __init__(self, held: Gathered) -> None:
        bins, constants = held.bins, held.law.constants.size
        edges, likely = bins.first[2:-1], np.diff(bins.first)[1:-1] / held.time[-1]
        sharp = _sharp_places(held)
        self.jumps = np.append(edges, held.time[sharp])
        self.bends = edges[::2]
        columns = [held.columns, (bins.first[:, np.newaxis] >= edges).astype(float)]
        columns += [np.add.reduceat(held.time >= held.time[one], bins.begin)[:, np.newaxis] / bins.count[:, np.newaxis]
                    for one in sharp]  # fmt: skip
        columns.append(np.maximum(bins.middle[:, np.newaxis] - self.bends, 0) / 60)
        chance = np.concatenate([likely, np.full(len(sharp), 1 / held.time.size), np.full(self.bends.size, 0.0)])
        chance[-self.bends.size :] = 1 / self.bends.size
        first, first_size, share = np.arange(-1, constants).clip(0), np.full(constants + 1, SETTLE), 0.7 / constants
        first_size[0] = 0.0
        with_settle = np.append(0.3, np.full(constants, share))
        place = constants + np.arange(chance.size)
        sizes = np.where(np.arange(chance.size)[:, np.newaxis] < self.jumps.size, JUMPS, BENDS)
        shape = (constants + 1, chance.size, len(JUMPS))
        weight = with_settle[:, np.newaxis, np.newaxis] * (chance / 2)[:, np.newaxis] * np.full(len(JUMPS), 1 / 3)
        settles = Settles(
            np.broadcast_to(first[:, np.newaxis, np.newaxis], shape).ravel(),
            np.broadcast_to(place[:, np.newaxis], shape).ravel(),
            np.broadcast_to(first_size[:, np.newaxis, np.newaxis], shape).ravel(),
            np.broadcast_to(sizes, shape).ravel(), np.log(weight.ravel()),
        )  # fmt: skip
        drifts = drifts_in_bins(bins, held.law, np.array([0, 7]))
        self.constants = constants
        self.evidence = Evidence(np.column_stack(columns), drifts, np.log([0.7, 0.3]), settles)

    def likeliest(self, after: Conditioned) -> tuple[str, float, float]:
        """What broke, when and by how much, by the likeliest choice."""
        drift, choice = np.unravel_index(after.choices.log_evidence.argmax(), after.choices.log_evidence.shape)
        place = int(self.evidence.settles.second[choice]) - self.constants
        size = float(after.choices.size[1][drift, choice])
        if place < self.jumps.size:
            return "jump", float(self.jumps[place]), size
        return "bend", float(self.bends[place - self.jumps.size]), size


def _sharp_places(held: Gathered) -> list[int]:
    """Rows at which the readings jump most, by their means before and after."""
    total, count, found = np.append(0.0, np.cumsum(held.reading)), held.time.size, set()
    for part in WINDOWS:
        width = max(2, count // part)
        if count >= 4 * width:
            change = np.abs(total[2 * width :] - 2 * total[width:-width] + total[: -2 * width])
            found.add(int(change[width:-width].argmax()) + 2 * width if change.size > 2 * width else width)
    return sorted(found)


def _sites(held: Gathered) -> list[Sites]:
    """Each bin's mean with its variance, for each white noise that the scatter within bins allows.

    Where the noise is small beside a division, rounding does not average out: readings of a bin then count as few. A
    bin within which the needle moves sharply says nothing of the noise: its scatter counts as that of three usual ones.
    """
    bins, division = held.bins, held.division
    spare = bins.count - 1
    usual = np.median((held.squares / np.maximum(spare, 1))[spare > 0]) if np.any(spare > 0) else 0.0
    squares = np.minimum(held.squares, spare * max(4 * usual, division**2 / 4))
    noise = 0.3 * division * STEP ** np.arange(NOISES)
    variance = noise**2 + division**2 / 12
    within = -0.5 * (spare.sum() * np.log(variance) + squares.sum() / variance)
    made = []
    for place in np.flatnonzero(within > within.max() - 25):
        few = np.minimum(bins.count, 1 + (3 * noise[place] / division) ** 4)
        own = noise[place] ** 2 / bins.count + division**2 / 12 / few
        made.append(Sites(1 / own, bins.mean / own, float(within[place] - 0.5 * np.log(own).sum())))
    return made
