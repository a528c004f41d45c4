"""Times that grow a part on their way, as spreadsheets print them: `45`, then `1:00`, then `1:00:00`."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence

from steadyneedle.bench.trace.log_numbers import LogError
from steadyneedle.foundation.text_files import printable

_FORMS = (re.compile(r"\d{1,2}(?:[.,]\d+)?"), re.compile(r"\d{1,2}:\d{2}(?:[.,]\d+)?"),
          re.compile(r"\d{1,3}:\d{2}:\d{2}(?:[.,]\d+)?"))  # fmt: skip
_BEFORE = ("0:00:", "0:", "")
"""What makes each form the longest one."""

FEW = 2
"""Times of another form than the rest that are taken as mistyped; more are a second way of writing."""

FARTHEST = 20
"""Usual steps; where one form follows on another, the next reading is not further off."""


def in_one_form(cells: Sequence[str], seconds_first: bool, minutes_first: bool) -> Sequence[str]:
    """A log's times with the same parts in each; those that have one form already stay as they are.

    Parameters
    ----------
    cells : sequence of str
        The cells of the column, stripped.
    seconds_first : bool
        Whether a number alone may be seconds.
    minutes_first : bool
        Whether two parts may be minutes and seconds.

    Returns
    -------
    sequence of str
        As many cells.

    Raises
    ------
    LogError
        Times written in two ways, of which the second does not go on where the first ends.

    References
    ----------
    The grammar is ours.

    Examples
    --------
    >>> in_one_form(["59:30", "59:45", "1:00:00", "1:00:15"], True, True)
    ['0:59:30', '0:59:45', '1:00:00', '1:00:15']
    """
    parts = {cell.count(":") for cell in cells if cell}
    if len(parts) < 2 or max(parts) > 2:
        return cells
    forms = [min(cell.count(":"), 2) if cell and _FORMS[cell.count(":")].fullmatch(cell) else -1 for cell in cells]
    seen = [form for form in forms if form >= 0]
    counts = {form: seen.count(form) for form in set(seen)}
    if len(counts) < 2:
        return cells
    whole = [_BEFORE[form] + cell if form >= 0 else cell for form, cell in zip(forms, cells, strict=True)]
    allowed = (seconds_first or 0 not in counts) and (minutes_first or 1 not in counts)
    if (
        allowed
        and seen == sorted(seen)
        and _goes_on([one for one, form in zip(whole, forms, strict=True) if form >= 0])
    ):
        longest = max(counts)
        return [one if longest == 2 else one.removeprefix("0:") for one in whole]
    if sorted(counts.values())[-2] > FEW:
        first, second = (next(cell for cell, one in zip(cells, forms, strict=True) if one == form) for form in counts)
        raise LogError(
            f"Times are written in two ways, '{printable(first, 12)}' and '{printable(second, 12)}'. "
            "Write all of them as mm:ss, or all as hh:mm:ss."
        )
    return cells


def _goes_on(times: Sequence[str]) -> bool:
    """Whether times as hh:mm:ss never go back nor leap."""
    seconds = []
    for time in times:
        hours, minutes, rest = time.replace(",", ".").split(":")
        if int(minutes) > 59 or float(rest) >= 60:
            return False
        seconds.append(int(hours) * 3600 + int(minutes) * 60 + float(rest))
    steps = [after - before for before, after in itertools.pairwise(seconds)]
    usual = sorted(steps)[len(steps) // 2]
    return min(steps) >= 0 and max(steps) <= FARTHEST * max(usual, 1e-9)
