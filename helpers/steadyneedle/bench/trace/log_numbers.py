"""A column of a log as numbers: which mark is the decimal one, which stands between thousands, and how sure that is."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from steadyneedle.foundation.text_files import printable

PLAIN_RULE = "a dot is the decimal mark"
WORDS = {".": "dot", ",": "comma"}
NAMES = {"point": ".", "comma": ","}
_OTHER = {".": ",", ",": "."}
_GROUPS = re.compile(r"[+-]?[1-9]\d{0,2}(?:[.,]\d{3})+")
_FRACTION = re.compile(r"[+-]?0[.,]\d+")
_MANY = re.compile(r"[+-]?\d{1,3}(?:\.\d{3})+\.\d+|[+-]?\d{1,3}(?:,\d{3})+,\d+")
_TWICE = re.compile(r"\.[^.\n]*\.|,[^,\n]*,")
_LAST = re.compile(r"[+-]?\d*(?:[.,]\d{3})*[.,]\d*")
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?")
_STRANGE = re.compile(r"[^0-9eE+\-.,\n]")


class LogError(ValueError):
    """A log that cannot be read; the sentence says what to do instead.

    `mend` names the argument of `read_log` that would settle it: "columns", "decimal" or "".
    """

    def __init__(self, sentence: str, mend: str = "") -> None:
        super().__init__(sentence)
        self.mend = mend


@dataclass(frozen=True)
class Numbers:
    """A column's values, NaN where a cell is no number, the rule of its marks, and the form or unit of a time."""

    values: np.ndarray
    rule: str
    form: str = ""


def numbers_of(
    cells: Sequence[str],
    what: str,
    plausible: Callable[[np.ndarray], bool],
    between: str = ",",
    decimal: str | None = None,
) -> Numbers:
    """A column as numbers.

    Parameters
    ----------
    cells : sequence of str
        The cells, stripped of blanks.
    what : str
        What the column holds, for the sentence.
    plausible : callable
        Whether values can be that at all; it settles what could be read in two ways, where it can.
    between : str
        What stands between columns: where commas do, a lone dot is a decimal mark.
    decimal : "comma", "point" or None
        The decimal mark where a column does not show which it is.

    Returns
    -------
    Numbers
        Values, and the rule in words.

    Raises
    ------
    LogError
        Every number could be a decimal number or thousands.

    References
    ----------
    The grammar is ours, as that of typed numbers.

    Examples
    --------
    >>> numbers_of(["9,8", "10,1"], "pressure", lambda values: True).values.tolist()
    [9.8, 10.1]
    >>> numbers_of(["9.800", "9.900"], "pressure", lambda values: True, ";")
    Traceback (most recent call last):
    ...
    steadyneedle.bench.trace.log_numbers.LogError: pressure: 9.800 can be read in two ways. Write 9.8 or 9800.
    """
    joined = "\n".join(cells)
    if _STRANGE.search(joined):
        cells = [_plain_cell(cell) for cell in cells]
        joined = "\n".join(cells)
    used = [mark for mark in ".," if mark in joined]
    if len(used) == 2:
        return _two_marks(cells)
    many = any(_MANY.fullmatch(cell) for cell in cells if cell.count(used[0]) > 1) if _TWICE.search(joined) else False
    if not used or (used == ["."] and between == "," and not many):
        return Numbers(_floats(cells), PLAIN_RULE)
    return _one_mark(cells, used[0], many, what, plausible, decimal)


def _plain_cell(cell: str) -> str:
    """Blanks and apostrophes between thousands taken out, a long minus made short; anything else stays."""
    cell = cell.replace("\u2212", "-").replace("\u2013", "-")
    return re.sub(r"(?<=\d)[ \u00a0\u202f'’](?=\d{3}(?!\d))", "", cell)


def _one_mark(
    cells: Sequence[str],
    mark: str,
    many: bool,
    what: str,
    plausible: Callable[[np.ndarray], bool],
    decimal: str | None,
) -> Numbers:
    """One kind of mark in the whole column: decimal where the cells show it, else both ways are weighed."""
    word = WORDS[mark]
    rule = f"a {word} is the decimal mark"
    if many:
        rule = f"the last {word} is the decimal mark, the others stand between thousands"
    as_decimal = Numbers(_floats([_last_decimal(cell, mark, many) for cell in cells]), rule)
    marked = [cell for cell in cells if mark in cell]
    grouped = [cell for cell in marked if _GROUPS.fullmatch(cell)]
    if not grouped or _shows_decimals(marked, mark):
        return as_decimal
    plain = ["" if mark in cell and not _GROUPS.fullmatch(cell) else cell.replace(mark, "") for cell in cells]
    as_thousands = Numbers(_floats(plain), f"a {word} stands between thousands")
    if decimal is not None:
        return as_decimal if NAMES[decimal] == mark else as_thousands
    possible = [plausible(one.values) for one in (as_decimal, as_thousands)]
    if possible == [True, False]:
        return Numbers(as_decimal.values, f"{rule}, for as thousands no {what} could be so high")
    if possible == [False, True]:
        return Numbers(as_thousands.values, f"{as_thousands.rule}, for as decimals no {what} could be so low")
    shown = max(grouped, key=len)
    low, high = (f"{float(one):.12g}" for one in (_last_decimal(shown, mark, many), shown.replace(mark, "")))
    raise LogError(f"{what}: {printable(shown, 20)} can be read in two ways. Write {low} or {high}.", "decimal")


def _shows_decimals(marked: Sequence[str], mark: str) -> bool:
    """Whether enough cells can be no thousands; one of many may be mistyped and shows nothing."""
    if any(not cell.strip("+-0.,") for cell in marked):
        return True  # nobody writes nought as 0.000 thousands
    fractions = sum(_FRACTION.fullmatch(cell) is not None for cell in marked)
    if fractions > 1 or (fractions and _FRACTION.fullmatch(marked[0])):
        return True  # nor 50 as 0.050: a column that begins below one
    showing = sum(not _GROUPS.fullmatch(cell) and _LAST.fullmatch(cell) is not None for cell in marked)
    return showing >= (1 if len(marked) <= 2 else max(2, len(marked) / 10))


def _two_marks(cells: Sequence[str]) -> Numbers:
    """Dots and commas in one column: the last of a cell that has both is decimal, else the one most cells have."""
    both = [cell for cell in cells if "," in cell and "." in cell]
    if both:
        ends = [max(cell.rfind(","), cell.rfind(".")) for cell in both]
        dots = sum(cell[end] == "." for cell, end in zip(both, ends, strict=True))
        decimal = "." if 2 * dots > len(both) else ","
        other = _OTHER[decimal]
        fixed = [_without_thousands(cell, decimal, other) for cell in cells]
        return Numbers(_floats(fixed), f"'{decimal}' is the decimal mark, '{other}' stands between thousands")
    count = {mark: sum(mark in cell for cell in cells) for mark in ".,"}
    decimal = "." if count["."] >= count[","] else ","
    # a cell with the other mark may mean a thousand times more: it is left out and named
    fixed = ["" if _OTHER[decimal] in cell else cell.replace(decimal, ".") for cell in cells]
    return Numbers(_floats(fixed), f"a {WORDS[decimal]} is the decimal mark")


def _without_thousands(cell: str, decimal: str, other: str) -> str:
    whole, found, part = cell.partition(decimal)
    if other in part or (other in whole and not _GROUPS.fullmatch(whole)):
        return ""
    return f"{whole.replace(other, '')}.{part}" if found else whole.replace(other, "")


def _last_decimal(cell: str, mark: str, many: bool) -> str:
    """The cell with a dot for its last mark; nothing where it has more marks than a number can."""
    whole, found, part = cell.rpartition(mark)
    if mark in whole and not (many and _MANY.fullmatch(cell)):
        return ""
    return f"{whole.replace(mark, '')}.{part}" if found else cell


def _floats(cells: Sequence[str]) -> np.ndarray:
    """Numbers, NaN where a cell is none: no words such as nan or 1_000, which Python would take."""
    try:
        if not _STRANGE.search("".join(cells)):
            return np.array(list(map(float, cells)))
    except ValueError:
        pass
    return np.array([float(cell) if _NUMBER.fullmatch(cell) else math.nan for cell in cells], dtype=float)
