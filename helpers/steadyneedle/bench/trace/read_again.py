"""What to say of a reading that was left out and may be the needle's: read it again, and mind the stop."""

from __future__ import annotations

from collections.abc import Sequence

from steadyneedle.bench.bands.stopping import AT_THE_STOP
from steadyneedle.bench.trace.late_readings import LeftOut
from steadyneedle.bench.trace.scale import Scale


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
