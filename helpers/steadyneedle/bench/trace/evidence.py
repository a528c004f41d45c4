"""Exact averages over every choice of settles and drifts, once readings are normal: Gaussian algebra."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.trace.settle_law import Settles

LINE = 2
"""Columns of the straight line: level and climb, free."""


@dataclass(frozen=True)
class Sites:
    """What the readings of each bin say of its pressure, as a normal: shape (b,), in 1/bar2 and 1/bar."""

    precision: np.ndarray
    weighted: np.ndarray
    log_scale: float = 0.0


@dataclass(frozen=True)
class Asked:
    """Quantities asked for: `line` (f, 2) and `settles` (f, c) say what they are made of, `shared` (d, b, f) and
    `own` (d, f) how they go together with the drift in the bins and by themselves [bar2]."""

    line: np.ndarray
    settles: np.ndarray
    shared: np.ndarray
    own: np.ndarray


@dataclass(frozen=True)
class Choices:
    """Every drift with every choice of settles, shape (d, m): how likely after the readings, and what settles are."""

    log_evidence: np.ndarray
    size: tuple[np.ndarray, np.ndarray]
    spread: tuple[np.ndarray, np.ndarray, np.ndarray]

    def weights(self) -> np.ndarray:
        """Probabilities, shape (d, m)."""
        weight = np.exp(self.log_evidence - self.log_evidence.max())
        return np.asarray(weight / weight.sum())


class Evidence:
    """Readings of b bins under d drifts, each with m choices of settles.

    `columns`, shape (b, 2 + c), line and settles of 1 bar; `drifts`, shape (d, b, b) [bar2].
    """

    def __init__(self, columns: np.ndarray, drifts: np.ndarray, log_weights: np.ndarray, settles: Settles) -> None:
        self.columns, self.drifts, self.log_weights, self.settles = columns, drifts, log_weights, settles

    def condition(self, sites: Sites) -> Conditioned:
        """The same after the readings."""
        return Conditioned(self, sites)


class Conditioned:
    """Evidence after the readings: weights of all choices, and what they say of any quantity."""

    def __init__(self, prior: Evidence, sites: Sites) -> None:
        self.prior, self.sites = prior, sites
        root = np.sqrt(sites.precision)
        inside = root[:, np.newaxis] * prior.drifts * root
        inside[:, np.arange(root.size), np.arange(root.size)] += 1.0
        lower = np.linalg.cholesky(inside)
        log_volume = np.log(np.diagonal(lower, axis1=1, axis2=2)).sum(axis=1)
        self.root, self.inverse = root, np.linalg.inv(inside)
        self.scaled = np.column_stack([root[:, np.newaxis] * prior.columns, sites.weighted / root])
        self.solved = self.inverse @ self.scaled
        gram = np.swapaxes(self.solved, 1, 2) @ self.scaled
        self._split(gram)
        self.choices = self._choices(-log_volume + sites.log_scale)

    def _split(self, gram: np.ndarray) -> None:
        """Level and climb taken out of what is left for settles and readings."""
        corner = gram[:, :LINE, :LINE]
        self.line_spread = np.linalg.inv(corner)
        through = self.line_spread @ gram[:, :LINE, LINE:]
        rest = gram[:, LINE:, LINE:] - np.swapaxes(gram[:, :LINE, LINE:], 1, 2) @ through
        self.line_of_settles, self.line_alone = through[:, :, :-1], through[:, :, -1]
        self.rest, self.toward, self.left = rest[:, :-1, :-1], rest[:, :-1, -1], rest[:, -1, -1]
        self.log_corner = np.log(np.linalg.det(corner))

    def _choices(self, log_volume: np.ndarray) -> Choices:
        settles = self.prior.settles
        one, two, s, t = settles.first, settles.second, settles.first_size, settles.second_size
        a, c, b = 1 + s**2 * self.rest[:, one, one], 1 + t**2 * self.rest[:, two, two], s * t * self.rest[:, one, two]
        volume = a * c - b**2
        x, y = s * self.toward[:, one], t * self.toward[:, two]
        u, v = (c * x - b * y) / volume, (a * y - b * x) / volume
        fixed = log_volume - 0.5 * (self.log_corner + self.left) + self.prior.log_weights
        log_evidence = fixed[:, np.newaxis] + 0.5 * (x * u + y * v - np.log(volume)) + settles.log_weight
        spread = (s**2 * c / volume, t**2 * a / volume, -s * t * b / volume)
        return Choices(log_evidence, (s * u, t * v), spread)

    def values(self, asked: Asked) -> tuple[np.ndarray, np.ndarray]:
        """Mean and variance of each quantity under each choice, shape (f, d, m)."""
        shared = self.root[:, np.newaxis] * asked.shared
        solved = self.inverse @ shared
        crossed = np.swapaxes(solved, 1, 2) @ self.scaled  # d, f, columns and readings
        line = asked.line - crossed[:, :, :LINE]
        bent = asked.settles - crossed[:, :, LINE:-1] - line @ self.line_of_settles
        fixed = crossed[:, :, -1] + (line @ self.line_alone[:, :, np.newaxis])[:, :, 0]
        own = asked.own - (shared * solved).sum(axis=1) + ((line @ self.line_spread) * line).sum(axis=2)
        settles, choices = self.prior.settles, self.choices
        one = np.moveaxis(bent[:, :, settles.first], 1, 0)
        two = np.moveaxis(bent[:, :, settles.second], 1, 0)
        (first, second), (a, c, b) = choices.size, choices.spread
        mean = fixed.T[:, :, np.newaxis] + one * first + two * second
        variance = own.T[:, :, np.newaxis] + one**2 * a + two**2 * c + 2 * one * two * b
        return mean, np.maximum(variance, 1e-12)

    def believe(self, log_weight: float) -> Conditioned:
        """Take all of it for so much likelier, as a logarithm; gives itself back."""
        self.choices = dataclasses.replace(self.choices, log_evidence=self.choices.log_evidence + log_weight)
        return self

    def log_evidence(self) -> float:
        """Logarithm of how likely the readings are over all choices."""
        highest = float(self.choices.log_evidence.max())
        return highest + float(np.log(np.exp(self.choices.log_evidence - highest).sum()))

    def coefficients(self) -> tuple[np.ndarray, np.ndarray]:
        """Mean of line, shape (2,), and settles, shape (c,), over all choices."""
        weight = self.choices.weights()
        mean, _ = self._coefficients(weight, np.arange(weight.shape[0]))
        whole = weight.sum(axis=1) @ mean
        return whole[:LINE], whole[LINE:]

    def in_bins(self) -> tuple[np.ndarray, np.ndarray]:
        """Mean and variance of the pressure in each bin over all choices, shape (b,)."""
        weight = self.choices.weights()
        share = weight.sum(axis=1)
        kept = np.flatnonzero(share > 1e-4)
        mean, spread = self._coefficients(weight[kept], kept)
        drifts = self.prior.drifts[kept]
        gain = (drifts * self.root) @ (self.inverse[kept] * self.root)  # what a reading moves each bin by
        rest = self.prior.columns - (drifts * self.root) @ self.solved[kept][:, :, :-1]
        value = (rest @ mean[:, :, np.newaxis])[:, :, 0] + ((drifts * self.root) @ self.solved[kept][:, :, -1:])[
            :, :, 0
        ]
        variance = np.diagonal(drifts, axis1=1, axis2=2) - (gain * drifts).sum(axis=2)
        variance = variance + ((rest @ spread) * rest).sum(axis=2)
        share = share[kept] / share[kept].sum()
        middle = share @ value
        return middle, np.maximum(share @ (variance + value**2) - middle**2, 1e-12)

    def _coefficients(self, weight: np.ndarray, kept: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Mean and covariance of line and settles for each drift, over its choices of settles."""
        settles, width = self.prior.settles, self.rest.shape[1]
        part = weight / np.maximum(weight.sum(axis=1, keepdims=True), 1e-300)
        first, second = (one[kept] for one in self.choices.size)
        a, c, b = (one[kept] for one in self.choices.spread)
        mean, square = np.zeros((kept.size, width)), np.zeros((kept.size, width * width))
        one, two = settles.first, settles.second
        for d in range(kept.size):
            mean[d] = np.bincount(one, part[d] * first[d], width) + np.bincount(two, part[d] * second[d], width)
            square[d] = np.bincount(one * width + one, part[d] * (a[d] + first[d] ** 2), width * width)
            square[d] += np.bincount(two * width + two, part[d] * (c[d] + second[d] ** 2), width * width)
            crossed = np.bincount(one * width + two, part[d] * (b[d] + first[d] * second[d]), width * width)
            square[d] += crossed + crossed.reshape(width, width).T.ravel()
        spread = square.reshape(-1, width, width) - mean[:, :, np.newaxis] * mean[:, np.newaxis, :]
        through = self.line_of_settles[kept]
        line = self.line_alone[kept] - (through @ mean[:, :, np.newaxis])[:, :, 0]
        tied = through @ spread
        corner = self.line_spread[kept] + tied @ np.swapaxes(through, 1, 2)
        whole = np.concatenate([
            np.concatenate([corner, -tied], axis=2), np.concatenate([-np.swapaxes(tied, 1, 2), spread], axis=2),
        ], axis=1)  # fmt: skip
        return np.concatenate([line, mean], axis=1), whole
