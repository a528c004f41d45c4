"""The bar in pascal, and arguments that must lie above 0, or not below it."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

BAR = 1e5
"""Pa"""


def above_zero(**values: ArrayLike) -> list[np.ndarray]:
    """Arguments as arrays, refused by name where one is not above 0.

    Parameters
    ----------
    **values : float or array
        Name of each argument and what was given for it [any unit]; shapes may differ.

    Returns
    -------
    list of numpy.ndarray
        The same numbers in the same order [unchanged], as floats.

    Raises
    ------
    ValueError
        One that is 0, negative, infinite or NaN; the sentence names the argument.

    References
    ----------
    Ours: nothing to cite.

    Examples
    --------
    >>> above_zero(volume=-1.0)
    Traceback (most recent call last):
    ...
    ValueError: volume must be above 0.
    """
    return _accepted(values, lambda array: array > 0, "must be above 0.")


def not_below_zero(**values: ArrayLike) -> list[np.ndarray]:
    """Arguments as arrays, refused by name where one is below 0.

    Parameters
    ----------
    **values : float or array
        As `above_zero` takes them [any unit].

    Returns
    -------
    list of numpy.ndarray
        As `above_zero` gives them [unchanged].

    Raises
    ------
    ValueError
        One that is negative, infinite or NaN; the sentence names the argument.

    References
    ----------
    Ours: nothing to cite.

    Examples
    --------
    >>> not_below_zero(supply=0.0, ambient=101325.0)
    [array(0.), array(101325.)]
    """
    return _accepted(values, lambda array: array >= 0, "must be a number not below 0.")


def _accepted(values: dict[str, ArrayLike], good: Callable[[np.ndarray], np.ndarray], demand: str) -> list[np.ndarray]:
    arrays = {name: np.asarray(value, float) for name, value in values.items()}
    for name, array in arrays.items():
        if not np.all(good(array) & np.isfinite(array)):
            raise ValueError(f"{name} {demand}")
    return list(arrays.values())
