"""Minutes and seconds, as a watch shows them, with hours too, and as people write them."""

from __future__ import annotations

import re

_CLOCK = re.compile(
    r"\s*(?:(?P<h>\d{1,2})\s*:\s*(?P<hm>\d{2})\s*:\s*(?P<hs>\d{2})"
    r"|(?P<m>\d{1,4})\s*:\s*(?P<s>\d{2})(?:\s*min\.?)?"
    r"|(?P<min>\d{1,4})\s*(?:minutes?|min\.?|m|['\u2019\u2032])\s*"
    r"(?P<sec>\d{1,2})\s*(?:seconds?|sec\.?|s|\"|''|\u2019\u2019|\u2032\u2032|[\u201d\u2033]))\s*",
    re.IGNORECASE,
)
LONGEST = 80
"""Characters; a longer text is no time, and is refused unread."""


def minutes_and_seconds(text: str) -> tuple[int, int] | None:
    """Minutes and seconds as typed; None where the text is no such time.

    Parameters
    ----------
    text : str
        What was typed: `10:50`, `0:10:50`, `10 min 50 s` or `10'50"`.

    Returns
    -------
    tuple of int or None
        Whole minutes, those of the hours with them, and seconds from 0 to 59.

    Raises
    ------
    ValueError
        More than 59 seconds, or more than 59 minutes beside hours.

    References
    ----------
    Common practice, no source: on a bench `10:50` is 10 min 50 s.

    Examples
    --------
    >>> minutes_and_seconds("10:50"), minutes_and_seconds("1:02:05"), minutes_and_seconds("2.5 min")
    ((10, 50), (62, 5), None)
    """
    match = _CLOCK.fullmatch(text) if isinstance(text, str) and len(text) <= LONGEST and text.isprintable() else None
    if match is None:
        return None
    hours, within = int(match["h"] or 0), int(match["hm"] or 0)
    minutes, seconds = (
        60 * hours + within + int(match["m"] or match["min"] or 0),
        int(match["hs"] or match["s"] or match["sec"]),
    )
    if seconds > 59 or within > 59:
        raise ValueError(
            "Seconds beside minutes go to 59, and minutes beside hours. "
            "Type the time in one unit, for example 2.5 min or 150 s."
        )
    return minutes, seconds
