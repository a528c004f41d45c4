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
    rf"\b(?:{'|'.join(_IN_WORDS)})(?![^\W\d_]))"
)
_UNIT = r"\s*-?\s*(mark|mk|point|pt)s?\b"
_AMOUNT = re.compile(
    rf"(?:(up\s+to|at\s+most|max(?:imum|\.)?)\s+)?(?:({_NUMBER})\s*(?:-|–|to|or)\s*)?({_NUMBER}){_UNIT}"
)
"""A limit, where one is said; the lower of two numbers; the number; the unit."""
_NUMBERED = r"\s*(?:[-*•]\s+|\d+[.)]\s+|\(?[a-z\d][.)]\s+)?"
_HEAD = re.compile(rf"{_NUMBERED}\+?")
_BEHIND = re.compile(r"\s*(?:\([^()]*\)|max(?:imum|\.)?)?\s*(?:[:.,;=–—-]|(?:for|if|when|where)\b)")
_HEAD_IN_BRACKETS = re.compile(rf"{_NUMBERED}\(\s*\+?")
_TAIL = re.compile(r".*(?:\(|[:;–—])\s*\+?", re.DOTALL)
_TO_THE_END = re.compile(r"(?:[^()]*\))?\s*[.;:,!?]*\s*")
_A_MARK = re.compile(rf"{_NUMBERED}an?{_UNIT}\s*[:–—-]")
"""At the beginning of a line; "a mark" needs its colon, for a scratch is a mark too."""
_OPEN = re.compile(
    r"\b(?:an?|another|further|more|other|last|remaining|bonus|extra|full|all|some|double)"
    rf"{_UNIT}|\bhalf\s+(?:marks|points)\b|^\s*[\d½]+\s*:|\([\d½]+\)\s*[.;]?\s*$"
)
"""What may be marks, and nobody can say how many."""
_COUNTS_OTHERWISE = re.compile(
    r"\b(?:each|every|any|per|apiece|deduct\w*|subtract\w*|minus|less|loses?|lost|off|penalty|withh\w+|tak(?:e|en)\s+away|"
    r"total|in\s+all|altogether|overall|out\s+of|max(?:imum)?|capped|only|bonus|extra|instead|further|either)\b|"
    r"[-−]\s?(?=\d)|^\W*(?:or|alternatively)\b"
)
_MORE_OF_IT = re.compile(r"^\s*[,;/]\s*[\d½]|\b(?:up\s+to|at\s+most|max(?:imum|\.)?)\s+\d|\b(?:each|apiece)\W*$")
_LIMIT = re.compile(r"\bmax(?:imum)?\b")


def marks_in(line: str) -> float | None:
    """Marks that a line of a rubric gives for certain: none without an amount; None where nobody can be sure.

    Sure is one amount at the line's beginning or at its end, that counts once. Marks for each of several things, marks
    taken off, two amounts, a range or a total are not.

    >>> [marks_in(line) for line in ("1 mark: so", "1 point: so", "Up to 3 marks: so", "so (1 mark, critical)", "so")]
    [1.0, 1.0, 3.0, 1.0, 0.0]
    >>> [marks_in(line) for line in ("1½ marks: so", "1/2 mark: so", "Half mark: so", "A mark: so", "No marks for so")]
    [1.5, 0.5, 0.5, 1.0, 0.0]
    >>> [marks_in(line) for line in ("1 mark each: so", "Deduct 1 mark", "0-2 marks: so", "a (1 mark), b (1 mark)")]
    [None, None, None, None]
    """
    text = line.lower()
    found = [*_AMOUNT.finditer(text)]
    found = [one for one in found if one[4] == found[0][4]]  # "1 mark: names both points" says one amount
    if not found:
        return 1.0 if _A_MARK.match(text) else None if _OPEN.search(text) else 0.0
    [amount, *more] = found
    before, behind = text[: amount.start()], text[amount.end() :]
    worth = _number(amount[3])
    if more or amount[2] or (amount[3] == "half" and text[amount.end() - 1] == "s"):
        return None
    if not worth:
        return 0.0
    return worth if _counts_once(amount[1] or "", before, behind) else None


def _counts_once(limit: str, before: str, behind: str) -> bool:
    """Whether an amount stands where a line says what it gives, and nothing beside it says that it counts otherwise."""
    near = "".join(re.findall(r"^\W*(?:\w+\W*){0,2}", _LIMIT.sub("", behind)))
    if _COUNTS_OTHERWISE.search(before) or _COUNTS_OTHERWISE.search(near):
        return False
    if _MORE_OF_IT.search(behind) or (limit and re.match(r"\W*(?:if|when|where)\b", behind)):
        return False
    if not re.search(r"[^\W\d_]", _LIMIT.sub("", before + behind)):
        return False  # an amount alone may be the sum
    if _HEAD.fullmatch(before):
        return bool(_BEHIND.match(behind))
    if _HEAD_IN_BRACKETS.fullmatch(before) and re.match(r"[^()]*\)", behind):
        return True
    return bool(_TAIL.fullmatch(before) and _TO_THE_END.fullmatch(behind))


def _number(text: str) -> float:
    if text in _IN_WORDS:
        return float(_IN_WORDS[text])
    worth = 0.0
    for part in re.findall(r"\d+/\d+|[\d.,]+|[½¼¾]", text):
        over, _, under = part.replace(",", ".").partition("/")
        worth += _PARTS.get(part) or (float(over) / (float(under or 1) or 1))
    return worth


def why_not_rubric(rubric: Sequence[str], weight: int, half_marks: bool) -> str:
    """What is surely wrong with the marks of a rubric; empty where nothing is, or where nobody can be sure.

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
    >>> why_not_rubric(["1 mark each: rule, limit, reading"], 3, False)
    ''
    """
    found = [marks_in(line) for line in rubric]
    for line, marks in zip(rubric, found, strict=True):
        shown = printable(line.strip(), 40)
        if marks and marks % 0.5:
            return f"the rubric's line '{shown}' gives neither whole marks nor halves. Write half a mark, or 1 mark."
        if marks and marks % 1 and not half_marks:
            return (
                f"the rubric's line '{shown}' gives half a mark, and half_marks = true is missing. Write that too, or "
                "give whole marks alone."
            )
    given = sum(filter(None, found))
    if None not in found and given and given != weight:
        return f"the lines of the rubric give {in_words(given)} in all, and weight is {weight}. Make the two agree."
    return ""
