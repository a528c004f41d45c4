"""How fast a needle creeps, with honest uncertainty: p(t) = p_L + a (1 - exp(-t/tau)) + c t, read to a division.

A reading is an interval, not a number: the pressure lay within half a division of it, but for noise. What is known of
lock-up, settle, time constant, noise and rate after a log is a distribution; here a few hundred weighted possibilities
stand for it, moved from what is possible at all to what the log leaves possible (sequential Monte Carlo: Del Moral,
Doucet and Jasra 2006). Nothing in it is random from one run to the next. Units: seconds and bar, rates in bar/min.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from steadyneedle.bench.trace.fitting import Fit, lag_one, least_squares

TIME_CONSTANTS = (2.0, 60.0)
"""s, of a settle (common practice, no source)."""

LARGEST_SETTLE = 0.3
"""bar (common practice, no source)."""

USUAL_NOISE = 0.05
"""bar, of a needle or a cheap transducer; more where the readings show more."""

POSSIBILITIES, GROUPS, MOVES = 700, 300, 3
MANY, FEWER_GROUPS, FEWER_POSSIBILITIES = 5000, 50, 350
"""From so many readings on, fewer groups and possibilities do: the rate is known well, and nobody wants to wait."""

CORRELATIONS = np.array([0.0, 0.4, 0.5, 0.6, 0.7, 0.8])
BELIEFS = np.array([0.75, 0.05, 0.05, 0.05, 0.05, 0.05])
"""Lag-one correlation of noise, and how often it is met: none in three logs of four."""

INFLATIONS = (1 + CORRELATIONS) / (1 - CORRELATIONS)
"""How many readings with that correlation are worth one independent one."""

LONG = 500
"""As many readings whose noise hides the rounding need no search: they are as good as normal."""

LEVEL, SETTLE, LOG_TIME, RATE, NOISE = range(5)


@dataclass(frozen=True)
class Interval:
    """A value with its 95 % interval."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Hold:
    """What one hold of the needle tells: bar, seconds, bar/min."""

    lock_up: Interval
    final: Interval
    settle: Interval
    time_constant: Interval
    rate: Interval
    noise: float
    possibilities: np.ndarray
    middle: float

    def curve(self, time: ArrayLike) -> np.ndarray:
        """The middle of what is possible at times [s] after the beginning, bar."""
        t = np.asarray(time, float)
        return np.asarray(np.median(_pressures(self.possibilities, t - self.middle, t), axis=0))


def hold_of(time_s: ArrayLike, reading_bar: ArrayLike, division_bar: float) -> Hold:
    """Lock-up, settle, time constant and creep rate of a needle that nobody touches.

    Parameters
    ----------
    time_s : array, shape (n,)
        Times [s], in order, at least three.
    reading_bar : array, shape (n,)
        Readings [bar].
    division_bar : float
        Step between two possible readings [bar], above 0.

    Returns
    -------
    Hold
        Each with its 95 % interval: median, 2.5 % and 97.5 % of what is possible.

    Raises
    ------
    ValueError
        Fewer than three readings, or a division not above 0.

    References
    ----------
    Bayes' theorem with a flat prior on the rate; coverage and width in tests/outside.

    Examples
    --------
    >>> hold = hold_of(np.arange(0, 301, 15.0), 9.8 + 0.1 * np.floor(np.arange(0, 301, 15.0) / 60), 0.1)
    >>> print(f"{hold.rate.value:.2f} bar/min")
    0.10 bar/min
    """
    times, readings = np.asarray(time_s, float), np.asarray(reading_bar, float)
    if times.size < 3 or not division_bar > 0:
        raise ValueError("hold_of needs at least three readings and a division above 0.")
    return _Search(times - times[0], readings, division_bar).result()


def _pressures(possible: np.ndarray, from_middle: np.ndarray, time: np.ndarray) -> np.ndarray:
    """Pressure [bar] of each possibility at each time."""
    settled = -np.expm1(-np.exp(-possible[:, LOG_TIME, np.newaxis]) * time)
    return (
        possible[:, LEVEL, np.newaxis]
        + possible[:, SETTLE, np.newaxis] * settled
        + possible[:, RATE, np.newaxis] * from_middle
    )


class _Search:
    """The possibilities for one hold, narrowed by its readings."""

    def __init__(self, times: np.ndarray, readings: np.ndarray, division: float) -> None:
        self.division, self.random = division, np.random.default_rng(20)
        squares, rate, residuals = _first_look(times, readings)
        scatter = max(squares / max(times.size - 3, 1) - division**2 / 12, 0.0) ** 0.5
        self.scatter, self.middle = scatter, float(times.mean())
        worth = _worth(residuals, division)
        self.formula: np.ndarray | None = None
        if times.size >= LONG and scatter >= 0.4 * division:
            self.formula = _by_formula(times, readings, squares / times.size / worth, scatter)
            return
        self.size, self.moves = (POSSIBILITIES, MOVES) if times.size < MANY else (FEWER_POSSIBILITIES, MOVES - 1)
        self.noise_limit = max(USUAL_NOISE, 3 * scatter)
        self.time, self.reading, count = _grouped(times, readings, division, rate, scatter)
        self.count = count * worth
        self._weights(1 + int(np.count_nonzero(np.diff(readings))))

    def _weights(self, steps: int) -> None:
        share = self.count / self.count.sum()
        centred = self.time - self.middle
        self.share, self.mean = share, float(share @ centred)
        self.spread = max(float(share @ centred**2) - self.mean**2, 1e-12)
        self.tilt = share * centred
        worth = min(self.count.sum(), steps + 4)
        width = 1.5 * ((self.division**2 / 4 + self.scatter**2 + 1e-8) / worth) ** 0.5 + 0.1 * self.division
        self.width, self.rate_width = width, width / self.spread**0.5

    # densities, all as logarithms -------------------------------------------------------------------

    def likelihood(self, possible: np.ndarray) -> np.ndarray:
        from scipy.special import ndtr

        off = np.abs(self.reading - _pressures(possible, self.time - self.middle, self.time))
        noise, half = possible[:, NOISE, np.newaxis], self.division / 2
        chance = ndtr((half - off) / noise) - ndtr((-half - off) / noise)
        return np.asarray(np.log(chance + 1e-9) @ self.count)

    def prior(self, possible: np.ndarray) -> np.ndarray:
        low, high = np.log(TIME_CONSTANTS)
        settle, log_time, noise = possible[:, SETTLE], possible[:, LOG_TIME], possible[:, NOISE]
        inside = (settle >= 0) & (settle <= LARGEST_SETTLE) & (log_time >= low) & (log_time <= high)
        return np.where(inside & (noise > 1e-4) & (noise < self.noise_limit), 0.0, -np.inf)

    def _line(self, settle: np.ndarray, log_time: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Level and rate of the straight line through what a settle leaves of the readings."""
        left = self.reading + settle[:, np.newaxis] * np.expm1(-np.exp(-log_time)[:, np.newaxis] * self.time)
        level = left @ self.share
        rate = (left @ self.tilt - level * self.mean) / self.spread
        return level - rate * self.mean, rate

    def guess(self, possible: np.ndarray) -> np.ndarray:
        level, rate = self._line(possible[:, SETTLE], possible[:, LOG_TIME])
        apart = (possible[:, RATE] - rate) / self.rate_width
        off = (possible[:, LEVEL] - level - (rate - possible[:, RATE]) * self.mean) / self.width
        return -3 * np.log1p(apart**2 / 5) - 3 * np.log1p(off**2 / 5)

    def begin(self) -> np.ndarray:
        draw, size = self.random, self.size
        settle = draw.uniform(0, LARGEST_SETTLE, size)
        log_time = draw.uniform(np.log(TIME_CONSTANTS[0]), np.log(TIME_CONSTANTS[1]), size)
        noise = draw.uniform(1e-4, self.noise_limit, size)
        level, rate = self._line(settle, log_time)
        moved = rate + self.rate_width * draw.standard_t(5, size)
        level = level + (rate - moved) * self.mean + self.width * draw.standard_t(5, size)
        return np.stack([level, settle, log_time, moved, noise], axis=1)

    # the search -------------------------------------------------------------------------------------

    def narrowed(self) -> np.ndarray:
        """From the guess to what prior and readings leave, in steps that keep half of the possibilities alive."""
        possible, part = self.begin(), 0.0
        target, guess = self.likelihood(possible) + self.prior(possible), self.guess(possible)
        while part < 1:
            gain = np.where(np.isfinite(target), target - guess, -1e300)
            further = _next_part(gain, part)
            weight = np.exp((further - part) * (gain - gain.max()))
            weight /= weight.sum()
            shape = _shape(possible, weight)
            places = (np.arange(self.size) + self.random.random()) / self.size
            chosen = np.minimum(np.searchsorted(np.cumsum(weight), places), self.size - 1)
            possible, target, guess, part = possible[chosen], target[chosen], guess[chosen], further
            for move in range(self.moves):
                self._move(possible, target, guess, part, (0.9 if move % 2 == 0 else 0.3) * shape)
        return possible

    def _move(
        self, possible: np.ndarray, target: np.ndarray, guess: np.ndarray, part: float, shape: np.ndarray
    ) -> None:
        """One random step for each possibility, taken as Metropolis would."""
        tried = possible + self.random.standard_normal(possible.shape) @ shape.T
        prior = self.prior(tried)
        inside = np.isfinite(prior)
        new_target, new_guess = np.full(self.size, -1e300), np.zeros(self.size)
        if inside.any():
            new_target[inside] = self.likelihood(tried[inside])
            new_guess[inside] = self.guess(tried[inside]) if part < 1 else 0.0
        better = part * (new_target - target) + (1 - part) * (new_guess - guess)
        taken = inside & (np.log(self.random.random(self.size)) < better)
        possible[taken], target[taken], guess[taken] = tried[taken], new_target[taken], new_guess[taken]

    def result(self) -> Hold:
        """The search's answer."""
        possible = self.narrowed() if self.formula is None else self.formula
        start = possible[:, LEVEL] - possible[:, RATE] * self.middle
        constant, rate = np.exp(possible[:, LOG_TIME]), 60 * possible[:, RATE]
        rows = (start, start + possible[:, SETTLE], possible[:, SETTLE], constant, rate)
        noise = float(np.median(possible[:, NOISE]))
        lock_up, final, settle, time_constant, climb = map(_interval, rows)
        return Hold(lock_up, final, settle, time_constant, climb, noise, possible, self.middle)


def _interval(values: np.ndarray) -> Interval:
    low, middle, high = np.quantile(values, [0.025, 0.5, 0.975])
    return Interval(float(middle), float(low), float(high))


def _next_part(gain: np.ndarray, part: float) -> float:
    """How far the search may go with half of the possibilities still counting."""

    def alive(further: float) -> float:
        weight = np.exp((further - part) * (gain - gain.max()))
        return float(weight.sum() ** 2 / (weight @ weight))

    if alive(1.0) >= 0.5 * gain.size:
        return 1.0
    low, high = part, 1.0
    for _ in range(25):
        middle = (low + high) / 2
        low, high = (middle, high) if alive(middle) >= 0.5 * gain.size else (low, middle)
    return min(max(low, part + 1e-6), 1.0)


def _shape(possible: np.ndarray, weight: np.ndarray) -> np.ndarray:
    """A square root of the possibilities' covariance."""
    centred = possible - weight @ possible
    covariance = (centred * weight[:, np.newaxis]).T @ centred
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 1e-18)))


def _first_look(times: np.ndarray, readings: np.ndarray) -> tuple[float, float, np.ndarray]:
    """Least squares over a few time constants, settle kept possible: sum of squares, rate [bar/s], residuals."""
    thin = slice(None, None, max(1, times.size // MANY))  # so many tell which settle fits best
    seen, tried = (times[thin], readings[thin]), []
    for constant in np.geomspace(*TIME_CONSTANTS, 8).tolist():
        columns = [-np.expm1(-seen[0] / constant), np.ones_like(seen[0]), seen[0]]
        settle = min(max(float(least_squares(columns, seen[1]).coefficients[0]), 0.0), LARGEST_SETTLE)
        tried.append((_line_under(*seen, constant, settle).squares, constant, settle))
    fit = _line_under(times, readings, *min(tried)[1:])
    return fit.squares, float(fit.coefficients[1]), fit.residuals


def _line_under(times: np.ndarray, readings: np.ndarray, time_constant: float, settle: float) -> Fit:
    """The straight line that is left once a settle is taken off."""
    return least_squares([np.ones_like(times), times], readings + settle * np.expm1(-times / time_constant))


class _Line:
    """The straight line through values over time, and what it leaves of them."""

    def __init__(self, times: np.ndarray, values: np.ndarray) -> None:
        self.times, self.centred = times, times - times.mean()
        self.spread = float(self.centred @ self.centred)
        self.mean = float(values.mean())
        self.slope = float(self.centred @ values) / self.spread
        self.left = values - self.mean - self.slope * self.centred

    def bend(self, time_constant: float) -> tuple[_Line, float, float]:
        """A settle of 1 bar less its own line, its sum of squares, and how much of it the values hold."""
        bent = _Line(self.times, -np.expm1(-self.times / time_constant))
        size = max(float(bent.left @ bent.left), 1e-12)
        return bent, size, float(bent.left @ self.left) / size


def _by_formula(times: np.ndarray, readings: np.ndarray, variance: float, noise: float) -> np.ndarray:
    """Possibilities of a long log whose noise hides the rounding: normal for each time constant, settle cut to range.

    `variance` is that of one reading [bar2], allowing for what it is worth.
    """
    from scipy.special import ndtr, ndtri

    random, line, size = np.random.default_rng(20), _Line(times, readings), 4 * POSSIBILITIES
    constants = np.geomspace(*TIME_CONSTANTS, 25)
    bends = [line.bend(float(constant)) for constant in constants]
    settles = np.array([settle for _, _, settle in bends])
    widths = np.sqrt(variance / np.array([squares for _, squares, _ in bends]))
    low, high = ndtr(-settles / widths), ndtr((LARGEST_SETTLE - settles) / widths)
    fits = settles**2 / widths**2 / 2 + np.log(widths * np.maximum(high - low, 1e-300))
    weight = np.exp(fits - fits.max())
    which = random.choice(constants.size, size, p=weight / weight.sum())
    share = low[which] + (high[which] - low[which]) * random.random(size)
    settle = np.clip(settles[which] + widths[which] * ndtri(share), 0.0, LARGEST_SETTLE)
    means = np.array([bent.mean for bent, _, _ in bends])[which]
    slopes = np.array([bent.slope for bent, _, _ in bends])[which]
    rate = line.slope - settle * slopes + (variance / line.spread) ** 0.5 * random.standard_normal(size)
    level = line.mean - settle * means + (variance / times.size) ** 0.5 * random.standard_normal(size)
    return np.stack([level, settle, np.log(constants[which]), rate, np.full(size, noise)], axis=1)


def _worth(residuals: np.ndarray, division: float) -> float:
    """What one reading is worth beside an independent one, believed from how residuals follow one another."""
    count = residuals.size
    variance = float(residuals @ residuals) / count
    if variance <= 0:
        return float(1 / (BELIEFS @ INFLATIONS))
    follows = min(max(lag_one(residuals), -0.95), 0.95)
    seen = CORRELATIONS * max(1 - division**2 / 12 / variance, 0.0)  # rounding hides a part of the correlation
    fits = -count / 2 * np.log(np.maximum(1 - 2 * seen * follows + seen**2, 1e-6)) + 0.5 * np.log1p(-(seen**2))
    belief = BELIEFS * np.exp(fits - fits.max())
    return float(belief.sum() / (belief @ INFLATIONS))


def _grouped(
    times: np.ndarray, readings: np.ndarray, division: float, rate: float, scatter: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Equal readings close in time as one, with their number: close where the pressure hardly moves between them."""
    close = 0.35 * max(scatter, division / 10)
    code = np.round((readings - readings.min()) / division).astype(np.int64)
    stretches, most = 40.0, GROUPS if times.size < MANY else FEWER_GROUPS
    while True:
        moved = (abs(rate) * times + LARGEST_SETTLE / 2 * -np.expm1(-times / 6)) / close + times / times[-1] * stretches
        key = np.floor(moved).astype(np.int64) * (int(code.max()) + 1) + code
        inverse, count = _kinds(key)
        if count.size <= most:
            break
        if count.size >= 0.7 * times.size or stretches < 8:  # grouping does not help: every so many-th reading
            keep = slice(None, None, -(-count.size // most))
            times, readings, code = times[keep], readings[keep], code[keep]
        else:
            wider = max(1.3, 0.7 * count.size / most)
            close, stretches = close * wider, stretches / wider**0.5
    return np.bincount(inverse, times) / count, np.bincount(inverse, readings) / count, count.astype(float)


def _kinds(key: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Which kind each key is, numbered from 0 upward, and how many there are of each: by counting, without sorting."""
    if key.max() > 50 * key.size + 1000:
        _, inverse, count = np.unique(key, return_inverse=True, return_counts=True)
        return inverse, count
    counted = np.bincount(key)
    there = counted > 0
    return (np.cumsum(there) - 1)[key], counted[there]
