"""Minutes and seconds, as a watch shows them and as people write them."""

from __future__ import annotations

import re

_CLOCK = re.compile(
    r"\s*(\d{1,4})(?:\s*:\s*(\d{2})(?:\s*min\.?)?|\s*(?:minutes?|min\.?|m|')\s*(\d{1,2})\s*(?:seconds?|sec\.?|s|\"))\s*",
    re.IGNORECASE,
)


def minutes_and_seconds(text: str) -> tuple[int, int] | None:
    """Minutes and seconds as typed; None where the text is no such time.

    Parameters
    ----------
    text : str
        What was typed.

    Returns
    -------
    tuple of int or None
        Whole minutes, and seconds from 0 to 59.

    Raises
    ------
    ValueError
        More than 59 seconds.

    References
    ----------
    Common practice, no source: on a bench `10:50` is 10 min 50 s.

    Examples
    --------
    >>> minutes_and_seconds("10:50"), minutes_and_seconds("2 min 5 s"), minutes_and_seconds("2.5 min")
    ((10, 50), (2, 5), None)
    """
    match = _CLOCK.fullmatch(text)
    if match is None:
        return None
    minutes, seconds = int(match[1]), int(match[2] or match[3])
    if seconds > 59:
        raise ValueError("Seconds beside minutes go to 59. Type the time in one unit, for example 2.5 min or 150 s.")
    return minutes, seconds
