"""What the words of a plan may hold, and what is said of a plan that cannot be used: its file's name, its rubric."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from steadyneedle.foundation.text_files import printable

INSTEAD = {
    "<": "less than", ">": "more than", "|": "or", "`": "'", "[": "(", "]": ")", "$": "dollars", "\\": "/",
}  # fmt: skip
"""Signs that a page or a notebook takes for a tag, a link, a table, code or a formula, and what to write."""
SWITCH = re.compile(r"\s*(\w+)\s*=\s*(?:yes|no|on|off|true|false)\s*(?:#.*)?", re.IGNORECASE)
HEADER = "write [[questions]] above each question: two brackets on either side, and an s."


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


def why_no_toml(text: str, why: str) -> tuple[int, str]:
    """The line that makes a text no TOML, 0 where nobody can say, and what to do about it.

    Parameters
    ----------
    text : str
        The plan.
    why : str
        What the reader of TOML said of it.

    Examples
    --------
    >>> why_no_toml("critical = yes", "Invalid value (at line 1, column 12)")
    (1, 'critical is true or false, in small letters and without quotes.')
    """
    lines = text.split("\n")
    found = re.search(r"at line (\d+)", why)
    number = int(found[1]) if found else 0
    strange = next(
        (at for (_, name), at in lines_of(text).items() if name in _BLOCKS and _BLOCK.match(lines[at - 1])), 0
    )
    if strange:
        return strange, HEADER
    if why.startswith("Cannot overwrite"):
        return _twice(text, number or len(lines))
    inline = re.match("Duplicate inline table key '(.+?)'", why)
    if inline:
        return number, f"'{printable(inline[1])}' stands in these brackets twice. Leave one of them."
    if why.startswith("Unterminated string") and not found:
        return max(lines_of(text).values()), 'the words that begin here do not end. Write """ behind the last of them.'
    switch = SWITCH.fullmatch(lines[number - 1]) if found else None
    if switch:
        return number, f"{switch[1]} is true or false, in small letters and without quotes."
    return number, "this is no TOML. Put words in double quotes, one setting a line."


_BLOCK = re.compile(r"\s*\[\[?\s*([A-Za-z_]\w*)\s*\]?\]?\s*(?:#.*)?$")
_SETTING = re.compile(r"\s*([A-Za-z_]\w*)\s*=")
_HEADER = re.compile(r"\s*\[\[\s*questions\s*\]\]")
_BLOCKS = ("question", "questions")
"""What somebody calls the head of a question."""


def _twice(text: str, number: int) -> tuple[int, str]:
    """The line of a setting that stands twice, and what to do: the last setting up to a line."""
    here, name, first = 0, "", 0
    starts: dict[tuple[int, str], int] = {}
    for question, one, at in _settings(text):
        if at > number:
            break
        if one:
            here, name, first = at, one, starts.setdefault((question, one), at)
    mend = "" if name in ("minutes", "pass_percent") else " Or did a [[questions]] line get lost between the two?"
    return here, f"'{name}' stands in line {first} already. Leave one of the two.{mend}"


def lines_of(text: str) -> dict[tuple[int, str], int]:
    """(question from 1, or 0 for the head; setting, or nothing for its first line) -> line.

    >>> lines_of('minutes = 5\\n[[questions]]\\ntext = "a"')
    {(0, ''): 1, (0, 'minutes'): 1, (1, ''): 2, (1, 'text'): 3}
    """
    found = {(0, ""): 1}
    for question, name, number in _settings(text):
        found.setdefault((question, name), number)
    return found


def _settings(text: str) -> Iterator[tuple[int, str, int]]:
    """Question, setting and line of each line that begins something; of a strange head its name, as one of the plan's.

    What stands below a strange head belongs to no question.
    """
    question, within, strange = 0, False, False
    for number, line in enumerate(text.split("\n"), 1):
        if not within and _HEADER.match(line):
            question, strange = question + 1, False
            yield question, "", number
        elif not within and (block := _BLOCK.match(line)):
            strange = True
            yield 0, block[1], number
        elif not within and not strange and (setting := _SETTING.match(line)):
            yield question, setting[1], number
        if (line.count('"""') + line.count("'''")) % 2:
            within = not within
