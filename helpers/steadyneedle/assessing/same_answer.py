"""Whether the cell beside a mark still holds the answer of its code, after a spreadsheet has opened and saved it.

A spreadsheet changes blanks, quotes, the size of letters and how a number is written, and one that saves in another
encoding spoils letters. Whatever else differs is another answer: the rows were sorted without their codes.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterator

SAVED_AS = (
    "cp1252", "ascii", "cp1250", "cp1251", "cp1253", "cp1254", "cp1255", "cp1256", "cp1257", "mac_roman", "cp437",
    "cp850", "cp866", "cp932", "cp936", "cp949", "cp950", "utf-8",
)  # fmt: skip
"""Encodings that spreadsheets save a CSV file in."""
READ_AS = ("cp1252", "utf-8", "ascii")
"""What such a file is then taken for, by a spreadsheet or here."""
_NUMBER = re.compile(r"[+-]?(?:\d{1,30}\.?\d{0,30}|\.\d{1,30})(?:[eE][+-]?\d{1,2})?")
LOST = "?\N{REPLACEMENT CHARACTER}"


def same_answer(cell: str, answer: str) -> bool:
    """Whether a cell holds an answer: the same letters and digits of any script, or those that an encoding spoiled.

    Where letters are lost, most must be left: two short answers of nothing but question marks look alike.

    Examples
    --------
    >>> same_answer(" IT CREEPS.", "It creeps"), same_answer("закрыть", "открыть")
    (True, False)
    >>> same_answer("Prüfen, 9 bar", "Prüfen, 9 bar"), same_answer("Pr?fen", "Prüfen"), same_answer("???", "два")
    (True, True, False)
    """
    letters = letters_of(cell)
    if letters == letters_of(answer) or _same_number(cell, answer):
        return True
    if cell.isascii() and "?" not in cell:
        return False
    seen = letters_of(cell, LOST)
    return any(letters_of(one, LOST) == seen for one in _spoiled(answer))


def _same_number(cell: str, answer: str) -> bool:
    """Whether a spreadsheet took an answer for a number, and wrote it its own way: 12.40 as 12,4."""
    both = [one.strip(" '").replace(",", ".") for one in (cell, answer)]
    if not all(map(_NUMBER.fullmatch, both)):
        return False
    return math.isclose(float(both[0]), float(both[1]), rel_tol=1e-9)


def letters_of(text: str, besides: str = "") -> str:
    """Letters, digits and the signs that stand above letters, all small, and whichever of `besides` there are.

    >>> letters_of("Ⅸ. Öffnen: ９ bar")
    'ixöffnen9bar'
    """
    plain = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", text).casefold())
    if plain.isascii():
        return "".join(sign for sign in plain if sign.isalnum() or sign in besides)
    return "".join(sign for sign in plain if unicodedata.category(sign)[0] in "LNM" or sign in besides)


def _spoiled(answer: str) -> Iterator[str]:
    """An answer as other encodings leave it, but for those that leave less than half of its letters."""
    there = sum(map(answer.count, LOST))
    for saved in SAVED_AS:
        data = answer.encode(saved, "replace")
        for read in READ_AS:
            spoiled = data.decode(read, "replace")
            lost = sum(map(spoiled.count, LOST)) - there
            if 2 * lost <= sum(map(str.isalnum, spoiled)):
                yield spoiled
