"""The exact posterior of the rate under the committed law, by a long random walk; nothing here imports the estimator.

Every reading is kept, the rounding is exact, noise is any number between the table's ends. What a log leaves open is walked
through by Gibbs' steps (Geman and Geman 1984) on the unrounded readings, by elliptical slices (Murray, Adams and MacKay 2010)
on the drift, and by steps of the noise with either the unrounded readings or the standardised errors held (Yu and Meng 2011).
"""

from __future__ import annotations

import itertools

import numpy as np
from scipy.special import ndtr, ndtri
from table_law import table


class LongSampler:
    """A walk over rate, level, settles, drift and noise for one log of n readings."""

    def __init__(self, time: np.ndarray, reading: np.ndarray, division: float, seed: int = 1) -> None:
        self.draw, self.half = np.random.default_rng(seed), division / 2
        self.origin = float(np.median(reading))
        self.reading, n = reading - self.origin, time.size
        law = table()
        self.constants, weights = law["constant"][:, 0], law["constant"][:, 2]
        apart = np.abs(time[:, np.newaxis] - time)
        length, size, _ = law["floor"][0]
        floor = size**2 * np.exp(-0.5 * (apart / length) ** 2)
        self.drifts = np.array([
            floor + (size**2 * np.exp(-apart / max(length, 1e-9)) if size > 0 else 0.0) for length, size, _ in law["drift"]
        ])  # fmt: skip
        self.drift_weight = np.log(law["drift"][:, 2])
        self.values, self.vectors = np.linalg.eigh(self.drifts)
        self.values = np.maximum(self.values, 0.0)
        columns = [np.ones(n), (time - time.mean()) / 60, *(-np.expm1(-time / c) for c in self.constants)]
        self.columns = np.stack(columns, axis=1)
        self.turned_columns = np.swapaxes(self.vectors, 1, 2) @ self.columns
        self._choices(law, weights)
        noise = law["noise"]
        self.log_noises, self.noise_weight = np.log(noise[:, 1]), np.log(noise[:, 2])

    def _choices(self, law: dict[str, np.ndarray], weights: np.ndarray) -> None:
        """Settles: rows of (which, which, size, size, log weight); a second time constant differs from the first."""
        counts, sizes = law["settles"][:, 2], law["size"][:, 1:]
        rows = [(0, 1, 0.0, 0.0, np.log(counts[0]))]
        kinds = [(k, s, w * v) for (k, w), (s, v) in itertools.product(enumerate(weights), sizes)]
        rows += [(k, (k + 1) % weights.size, s, 0.0, np.log(counts[1] * w)) for k, s, w in kinds]
        pairs = [(a, b, s, t, v * w) for (a, s, v), (b, t, w) in itertools.product(kinds, kinds) if a < b]
        whole = sum(pair[4] for pair in pairs)
        rows += [(a, b, s, t, np.log(counts[2] * w / whole)) for a, b, s, t, w in pairs]
        self.first, self.second = (np.array([row[k] for row in rows], int) for k in (0, 1))
        self.sizes = np.array([row[2:4] for row in rows])
        self.choice_weight = np.array([row[4] for row in rows])

    def prior_noise(self, log_noise: float) -> float:
        if not self.log_noises[0] <= log_noise <= self.log_noises[-1] + np.log(4):
            return -np.inf
        return float(np.interp(log_noise, self.log_noises, self.noise_weight)) - 3 * max(
            log_noise - float(self.log_noises[-1]), 0.0
        )

    def choose(self, unrounded: np.ndarray, noise: float) -> None:
        """Drift and settles, then level, rate, sizes and the drift's path, given unrounded readings and noise."""
        turned = np.einsum("dnk,n->dk", self.vectors, unrounded)
        weight = 1 / (self.values + noise**2)
        scaled = self.turned_columns * weight[:, :, np.newaxis]
        gram = np.swapaxes(scaled, 1, 2) @ self.turned_columns
        toward = np.einsum("dnc,dn->dc", scaled, turned)
        square = (turned**2 * weight).sum(axis=1)
        corner = np.linalg.inv(gram[:, :2, :2])
        through = corner @ gram[:, :2, 2:]
        rest = gram[:, 2:, 2:] - np.swapaxes(gram[:, :2, 2:], 1, 2) @ through
        left = toward[:, 2:] - np.einsum("dlc,dl->dc", through, toward[:, :2])
        square -= np.einsum("dl,dlm,dm->d", toward[:, :2], corner, toward[:, :2])
        s, t = self.sizes.T
        a, c = 1 + s**2 * rest[:, self.first, self.first], 1 + t**2 * rest[:, self.second, self.second]
        b = s * t * rest[:, self.first, self.second]
        x, y, volume = s * left[:, self.first], t * left[:, self.second], a * c - b**2
        score = 0.5 * ((c * x**2 - 2 * b * x * y + a * y**2) / volume - np.log(volume)) + self.choice_weight
        fixed = 0.5 * (np.log(weight).sum(axis=1) + np.log(np.linalg.det(corner)) - square) + self.drift_weight
        score = (score + fixed[:, np.newaxis]).ravel()
        chance = np.cumsum(np.exp(score - score.max()))
        at = int(np.searchsorted(chance, self.draw.random() * chance[-1]))
        self.drift, self.choice = divmod(at, self.first.size)
        self._coefficients(gram[self.drift], toward[self.drift], turned[self.drift], weight[self.drift])

    def _coefficients(self, gram: np.ndarray, toward: np.ndarray, turned: np.ndarray, weight: np.ndarray) -> None:
        there = [0, 1]
        there += [2 + k for k, size in zip(self._pair(), self.sizes[self.choice], strict=True) if size > 0]
        sizes = [size for size in self.sizes[self.choice] if size > 0]
        precision = gram[np.ix_(there, there)].copy()
        for place, size in enumerate(sizes):
            precision[2 + place, 2 + place] += 1 / size**2
        lower = np.linalg.cholesky(precision)
        middle = np.linalg.solve(precision, toward[there])
        self.there, self.coefficient_sizes = there, sizes
        self.coefficients = middle + np.linalg.solve(lower.T, self.draw.standard_normal(len(there)))
        left = turned - self.turned_columns[self.drift][:, there] @ self.coefficients
        values = self.values[self.drift]
        spread = np.sqrt(values * (1 - values * weight))
        self.path = self.vectors[self.drift] @ (values * weight * left + spread * self.draw.standard_normal(left.size))

    def _pair(self) -> tuple[int, int]:
        return int(self.first[self.choice]), int(self.second[self.choice])

    def pressure(self) -> np.ndarray:
        return np.asarray(self.columns[:, self.there] @ self.coefficients + self.path)

    def shift(self, error: np.ndarray) -> None:
        """Level, rate, sizes and drift moved with the errors held: each as far as every reading still rounds as it did."""
        for place, column in enumerate(self.there):
            shape = self.columns[:, column]
            room = self.reading - self.pressure() - error
            with np.errstate(divide="ignore", invalid="ignore"):
                ends = np.sort(np.stack([(room - self.half) / shape, (room + self.half) / shape]), axis=0)
            moving = np.abs(shape) > 1e-12
            low, high = float(ends[0][moving].max()), float(ends[1][moving].min())
            if high <= low:
                continue
            if place < 2:
                self.coefficients[place] += self.draw.uniform(low, high)
            else:
                size, now = self.coefficient_sizes[place - 2], self.coefficients[place]
                self.coefficients[place] = size * self._between((now + low) / size, (now + high) / size)
        other = self.vectors[self.drift] @ (np.sqrt(self.values[self.drift]) * self.draw.standard_normal(error.size))
        still = self.reading - (self.pressure() - self.path) - error
        angle = self.draw.uniform(0, 2 * np.pi)
        low, high = angle - 2 * np.pi, angle
        for _ in range(100):
            tried = self.path * np.cos(angle) + other * np.sin(angle)
            if np.all(np.abs(still - tried) <= self.half):
                self.path = tried
                return
            low, high = (angle, high) if angle < 0 else (low, angle)
            angle = self.draw.uniform(low, high)

    def _between(self, low: float, high: float) -> float:
        """A standard normal number between two ends."""
        if low > 0:
            return -self._between(-high, -low)
        one, two = ndtr(low), ndtr(high)
        return float(np.clip(ndtri(one + (two - one) * self.draw.random()), low, high))

    def errors(self, noise: float) -> np.ndarray:
        """White noise of each reading, given the pressure."""
        room = (self.reading - self.pressure()) / noise
        low, high = room - self.half / noise, room + self.half / noise
        flip = np.where(low > 0, -1.0, 1.0)
        low, high = np.where(flip < 0, -high, low), np.where(flip < 0, -low, high)
        one, two = ndtr(low), ndtr(high)
        return np.asarray(noise * flip * np.clip(ndtri(one + (two - one) * self.draw.random(room.size)), low, high))

    def walk(self, steps: int, shifts: int = 12) -> np.ndarray:
        """Rates [bar/min], one for each step."""
        noise, step = max(self.half, 2e-3), 0.15
        unrounded, rates = self.reading.copy(), np.empty(steps)
        for at in range(steps):
            self.choose(unrounded, noise)
            error = unrounded - self.pressure()
            for _ in range(shifts):
                self.shift(error)
                error = self.errors(noise)
                noise, error = self._noise(noise, error, step)
            unrounded = self.pressure() + error
            rates[at] = self.coefficients[1]
        return rates

    def _noise(self, noise: float, error: np.ndarray, step: float) -> tuple[float, np.ndarray]:
        """Two steps of the noise: with the errors held, and with the standardised errors held."""
        tried = noise * float(np.exp(step * self.draw.standard_normal()))
        gain = self.prior_noise(np.log(tried)) - self.prior_noise(np.log(noise))
        fits = -0.5 * float(error @ error) * (1 / tried**2 - 1 / noise**2) - error.size * np.log(tried / noise)
        if np.log(self.draw.random()) < gain + fits:
            noise = tried
        tried = noise * float(np.exp(3 * step * self.draw.standard_normal()))
        gain = self.prior_noise(np.log(tried)) - self.prior_noise(np.log(noise))
        moved = error * (tried / noise)
        fits_in = np.all(np.abs(self.reading - self.pressure() - moved) <= self.half)
        if fits_in and np.log(self.draw.random()) < gain:
            return tried, moved
        return noise, error


def exact_interval(
    time: np.ndarray, reading: np.ndarray, division: float, steps: int = 4000, seed: int = 1
) -> tuple[float, float, float, float]:
    """95 % interval of the rate [bar/min] and how far its ends differ between two walks, as parts of its width."""
    ends = []
    for one in (seed, seed + 1):
        rates = LongSampler(time, reading, division, one).walk(steps)[steps // 5 :]
        ends.append((np.quantile(rates, [0.025, 0.975]), rates))
    low, high = np.quantile(np.concatenate([ends[0][1], ends[1][1]]), [0.025, 0.975])
    apart = np.abs(ends[0][0] - ends[1][0]) / (high - low)
    return float(low), float(high), float(apart[0]), float(apart[1])
