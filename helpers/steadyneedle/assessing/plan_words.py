"""What the words of a plan may hold, and what is said of a plan that cannot be used: its file's name, its rubric."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

INSTEAD = {
    "<": "less than", ">": "more than", "|": "or", "`": "'", "[": "(", "]": ")", "$": "dollars", "\\": "/",
}  # fmt: skip
"""Signs that a page or a notebook takes for a tag, a link, a table, code or a formula, and what to write."""
SWITCH = re.compile(r"\s*(\w+)\s*=\s*(?:yes|no|on|off|true|false)\s*(?:#.*)?", re.IGNORECASE)
_IN_WORDS = {"half a": 0.5, "a": 1} | {word: n for n, word in enumerate(("one", "two", "three", "four", "five"), 1)}
_MARKS = re.compile(rf"\s*(\d+(?:\.\d+)?|{'|'.join(_IN_WORDS)})\s+marks?\s*:")


def called(words: str) -> str:
    """What the file of a plan is called, without its ending; empty where nothing of it can stay.

    >>> called("My_Test"), called(" Units and  bands ")
    ('my-test', 'units-and-bands')
    """
    return "-".join(re.findall("[a-z0-9]+", words.lower()))


def why_not_shown(text: str, lines: bool) -> str:
    """What in a text would not be shown as it stands, and what to write; empty where all of it is.

    Parameters
    ----------
    text : str
        Words of a plan.
    lines : bool
        Whether it may have more lines than one.

    Examples
    --------
    >>> why_not_shown("IP < 9 bar", lines=True)
    'holds <, which pages and notebooks take for more than a sign. Write less than'
    >>> why_not_shown("9 bar", lines=True)
    ''
    """
    for sign in text:
        if sign in INSTEAD:
            return f"holds {sign}, which pages and notebooks take for more than a sign. Write {INSTEAD[sign]}"
        if sign == "\n" and not lines:
            return "has more lines than one. Write it on one"
        if unicodedata.category(sign) in ("Cc", "Cf", "Zl", "Zp") and sign not in "\n\t":
            return f"holds a sign that nobody sees, U+{ord(sign):04X}. Take it out"
    return ""


def marks_of(rubric: Sequence[str]) -> float | None:
    """Marks that the lines of a rubric give in all; None where no line says any.

    >>> marks_of(["1 mark: names the rule", "1.5 marks: says why", "Half a mark: its unit"]), marks_of(["says why"])
    (3.0, None)
    """
    found = [one[1] for line in rubric if (one := _MARKS.match(line.lower().replace(",", ".")))]
    return sum(_IN_WORDS.get(one) or float(one) for one in found) if found else None


def why_no_toml(line: str) -> str:
    """What to do about a line that is no TOML.

    >>> why_no_toml("critical = yes")
    'critical is true or false, in small letters and without quotes.'
    """
    switch = SWITCH.fullmatch(line)
    if switch:
        return f"{switch[1]} is true or false, in small letters and without quotes."
    return "this is no TOML. Put words in double quotes, one setting a line."


_HEADER, _SETTING = re.compile(r"\s*\[\[\s*questions\s*\]\]"), re.compile(r"\s*([A-Za-z_]\w*)\s*=")


def lines_of(text: str) -> dict[tuple[int, str], int]:
    """(question from 1, or 0 for the head; setting, or nothing for its first line) -> line.

    >>> lines_of('minutes = 5\\n[[questions]]\\ntext = "a"')
    {(0, ''): 1, (0, 'minutes'): 1, (1, ''): 2, (1, 'text'): 3}
    """
    found, question, within = {(0, ""): 1}, 0, False
    for number, line in enumerate(text.split("\n"), 1):
        if not within and _HEADER.match(line):
            question += 1
            found[question, ""] = number
        elif not within and (setting := _SETTING.match(line)):
            found.setdefault((question, setting[1]), number)
        if (line.count('"""') + line.count("'''")) % 2:
            within = not within
    return found
