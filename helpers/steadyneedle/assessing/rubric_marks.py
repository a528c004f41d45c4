"""The marks that the lines of a rubric give: read as people write them, and added up."""

from __future__ import annotations

import re
from collections.abc import Sequence

from steadyneedle.assessing.hand_marks import in_words
from steadyneedle.foundation.text_files import printable

_IN_WORDS = {
    "one and a half": 1.5, "half a": 0.5, "a half": 0.5, "half": 0.5, "no": 0, "zero": 0,
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
}  # fmt: skip
_PARTS = {"½": 0.5, "¼": 0.25, "¾": 0.75}
_NUMBER = (
    rf"(?:\d+\s+\d/\d|\d+/\d+|\d+\s?[{''.join(_PARTS)}]|[{''.join(_PARTS)}]|\d+(?:[.,]\d+)?|"
    rf"(?:{'|'.join(_IN_WORDS)})(?![^\W\d_]))"
)
_UNIT = r"\s*-?\s*(?:marks?|mks?|points?|pts?)\b"
_AMOUNT = rf"(?:(?:up\s+to|at\s+most|max(?:imum|\.)?)\s+)?(?:{_NUMBER}\s*(?:-|–|to|or)\s*)?({_NUMBER}){_UNIT}"
_NUMBERED = r"\s*(?:[-*•]\s+|\d+[.)]\s+|[a-z][.)]\s+)?"
_BEHIND = r"\s*(?:[:.,;=–—-]|(?:for|if|when|where)\b|$)"
_HEAD = re.compile(rf"{_NUMBERED}(?:\({_AMOUNT}\)|{_AMOUNT}{_BEHIND}|(an?){_UNIT}\s*[:–—-])")
"""At the beginning of a line; "a mark" needs its colon, for a scratch is a mark too."""
_IN_BRACKETS = re.compile(rf"\({_AMOUNT}\)")
_TAIL = re.compile(rf"(?:\({_AMOUNT}\)|[:;–—]\s*{_AMOUNT})\s*[.;]?\s*$")
_LIKE_MARKS = re.compile(rf"{_NUMBERED}\(?(?:up\s+to\s+|minus\s+|[-−+])?[\d½¼¾][^a-z]*{_UNIT}|.*{_IN_BRACKETS.pattern}")
HOW = 'Begin it with them: "1 mark: names the rule", or "0 marks: ..." where it gives none.'


def marks_in(line: str) -> float | None:
    """Marks that a line of a rubric gives, at its beginning or at its end; None where none can be read.

    >>> [marks_in(line) for line in ("1 mark: so", "1 point: so", "Up to 3 marks: so", "so (1 mark)", "½ mark so")]
    [1.0, 1.0, 3.0, 1.0, None]
    >>> [marks_in(line) for line in ("1½ marks: so", "1/2 mark: so", "Half mark: so", "A mark: so", "A mark on it")]
    [1.5, 0.5, 0.5, 1.0, None]
    """
    text = line.lower()
    head = _HEAD.match(text)
    if head:
        return 1.0 if head[3] else _number(head[1] or head[2])
    tail = _TAIL.search(text)
    if tail is None or len(_IN_BRACKETS.findall(text)) > 1:
        return None
    return _number(tail[1] or tail[2])


def _number(text: str) -> float:
    if text in _IN_WORDS:
        return float(_IN_WORDS[text])
    worth = 0.0
    for part in re.findall(r"\d+/\d+|[\d.,]+|[½¼¾]", text):
        over, _, under = part.replace(",", ".").partition("/")
        worth += _PARTS.get(part) or (float(over) / (float(under or 1) or 1))
    return worth


def why_not_rubric(rubric: Sequence[str], weight: int, half_marks: bool) -> str:
    """What is wrong with the marks of a rubric; empty where nothing is, or where no line says any.

    Parameters
    ----------
    rubric : sequence of str
        Its lines.
    weight : int
        Marks that the question gives.
    half_marks : bool
        Whether a person may give half marks.

    Examples
    --------
    >>> why_not_rubric(["1 mark: names it", "says why (1 mark)"], 2, False), why_not_rubric(["says why"], 2, False)
    ('', '')
    >>> why_not_rubric(["1 mark: names the rule"], 2, False)
    'the lines of the rubric give 1 in all, and weight is 2. Make the two agree.'
    """
    found = [marks_in(line) for line in rubric]
    if all(one is None for one in found) and not any(_LIKE_MARKS.match(line.lower()) for line in rubric):
        return ""
    for line, marks in zip(rubric, found, strict=True):
        shown = printable(line.strip(), 40)
        if marks is None:
            return f"no marks can be read in the rubric's line '{shown}', and each line needs them once one has. {HOW}"
        if marks % 0.5:
            return f"the rubric's line '{shown}' gives neither whole marks nor halves. Write half a mark, or 1 mark."
        if marks % 1 and not half_marks:
            return (
                f"the rubric's line '{shown}' gives half a mark, and half_marks = true is missing. Write that too, or "
                "give whole marks alone."
            )
    given = sum(one for one in found if one is not None)
    if given != weight:
        return f"the lines of the rubric give {in_words(given)} in all, and weight is {weight}. Make the two agree."
    return ""
