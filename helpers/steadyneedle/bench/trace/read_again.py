"""What to read again: a reading that was left out and may be the needle's, or pressures no first stage gives."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from steadyneedle.bench.bands.stopping import AT_THE_STOP
from steadyneedle.bench.trace.late_readings import LeftOut
from steadyneedle.bench.trace.scale import Scale

HIGHEST = 40.0
"""bar; a second stage opens long before (invented, wide on purpose)."""

MOST = 0.8
"""Share of the readings that lie above it: not the end of a climb."""


def refuse_no_first_stage(pressure: np.ndarray, scale: Scale) -> None:
    """Refuse a log whose unit or decimal mark must be wrong.

    Parameters
    ----------
    pressure : array, shape (n,)
        Readings [bar].
    scale : Scale
        Unit of the sentence.

    Returns
    -------
    None
        Where the pressures can be those of a first stage.

    Raises
    ------
    ValueError
        Most readings stand above 40 bar.

    References
    ----------
    Our choice.

    Examples
    --------
    >>> from steadyneedle.bench.trace.scale import BAR
    >>> refuse_no_first_stage(np.array([9.1, 9.1, 91]), BAR)
    """
    low = float(np.quantile(pressure, 1 - MOST))
    if low > HIGHEST:
        raise ValueError(
            f"The pressures are about {scale.about(float(np.median(pressure)))}, and no intermediate pressure is so "
            "high. Check the unit in the header, and the decimal mark: 9.1, not 91."
        )


def read_again(left_out: Sequence[LeftOut], stop: float, scale: Scale) -> str:
    """Why nobody can tell while such a reading is open.

    Parameters
    ----------
    left_out : sequence of LeftOut
        What a log left out that may be the needle's.
    stop : float
        Pressure at which to stop watching [bar].
    scale : Scale
        Unit of the sentence.

    Returns
    -------
    str
        Sentences; nothing where none is the last or past the stop.

    References
    ----------
    Our wording.

    Examples
    --------
    >>> from steadyneedle.bench.trace.scale import BAR
    >>> read_again([LeftOut("Row 23", 9.9, True)], 12.0, BAR)
    'Row 23, the last reading, is 9.9 bar and stands apart from those before it: read it again, and judge the log anew.'
    """
    past = [one for one in left_out if one.pressure > stop + 1e-9]
    if past:
        one = past[0]
        last = ", the last reading," if one.last else ""
        return (
            f"{one.name}{last} is {scale.about(one.pressure, 4)}, past {scale.stop(stop)}, where one stops watching, "
            f"and stands apart from those beside it: read it again. {AT_THE_STOP}"
        )
    final = [one for one in left_out if one.last]
    if not final:
        return ""
    return (
        f"{final[0].name}, the last reading, is {scale.about(final[0].pressure, 4)} and stands apart from those before "
        "it: read it again, and judge the log anew."
    )
