"""How sentences write a probability and an expanded uncertainty."""

from __future__ import annotations

import math

from steadyneedle.bench.units import Q, formatted


def format_chance(probability: float, required: float | None = None) -> str:
    """A probability in percent, never rounded up to certainty, nor to what is asked.

    Parameters
    ----------
    probability : float
        From 0 to 1.
    required : float or None
        Probability that is asked to pass, likewise; its complement is asked to fail.

    Returns
    -------
    str
        Whole percent from 1 to 99, else with the digits that keep it off 0 and 100.

    Raises
    ------
    ValueError
        Outside 0 to 1.

    Examples
    --------
    >>> format_chance(0.6626), format_chance(0.9996), format_chance(1.0)
    ('66 %', 'over 99.9 %', '100 %')
    >>> format_chance(0.9453, 0.95), format_chance(0.0512, 0.95)
    ('94.5 %', '5.2 %')
    """
    if not 0 <= probability <= 1:
        raise ValueError(f"A probability lies between 0 and 1, not {probability}.")
    if 0 < probability < 0.001:
        return "under 0.1 %"
    if 0.999 < probability < 1:
        return "over 99.9 %"
    # near 0 and 1 a whole percent could round to certainty
    decimals = 1 if (0 < probability < 0.01 or 0.99 < probability < 1) else 0
    shown = f"{probability * 100:.{decimals}f} %"
    if required is not None and probability < required and shown == format_chance(required):
        return f"{math.floor(probability * 1000) / 10:.1f} %"
    if required is not None and probability > 1 - required and shown == format_chance(1 - required):
        return f"{math.ceil(probability * 1000) / 10:.1f} %"
    return shown


def format_uncertainty(uncertainty: float, unit: str) -> str:
    """An expanded uncertainty as a sentence has it: two figures, a half rounded up.

    Parameters
    ----------
    uncertainty : float
        In `unit`, 0 or above.
    unit : str
        Any that `Q` takes.

    Returns
    -------
    str
        Number, space, unit.

    References
    ----------
    JCGM 100:2008 section 7.2.6: at most two significant digits.

    Examples
    --------
    >>> format_uncertainty(0.4655, "bar"), format_uncertainty(0.125, "bar"), format_uncertainty(1.82, "psi")
    ('0.47 bar', '0.13 bar', '1.8 psi')
    """
    if not uncertainty > 0:
        return formatted(Q(uncertainty, unit))
    places = max(0, 1 - math.floor(math.log10(uncertainty)))
    return formatted(Q(math.floor(uncertainty * 10**places + 0.5 + 1e-9) / 10**places, unit), places)
