"""The one form in which a paper comes back: a small JSON file that holds answers as data.

    {"version": 1, "candidate": "101", "paper": "units-and-bands", "attempt": 1, "cohort": "9266d379",
     "paper_digest": "...", "asked": {"1": "digest of question 1", ...}, "answers": {"1": "9.8 bar", "2": "passes"},
     "handed_in_at": "2026-11-27T10:15:00Z", "checksum": "..."}

An answer is what was typed, or the key of an option; a question without an answer has no entry. The checksum shows
damage, not who typed.
"""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Mapping
from typing import Any

from steadyneedle.assessing.canonical import digest_of
from steadyneedle.assessing.paper_file import Paper, paper_stem

VERSION = 1
ENDING = ".handed-in.json"
RECEIPT_LETTERS = 8
LONGEST_ANSWER = 10_000
"""Characters of one answer."""
FIELDS = {
    "version": int, "candidate": str, "paper": str, "attempt": int, "cohort": str, "paper_digest": str, "asked": dict,
    "answers": dict, "handed_in_at": str, "checksum": str,
}  # fmt: skip
"""Every field of the form, and the type of what it holds; `asked` and `answers` hold texts by question number."""


def handed_in(paper: Paper, answers: Mapping[int, str], at: datetime.datetime) -> bytes:
    """The file that a candidate hands in.

    Parameters
    ----------
    paper : Paper
        The paper that was sat.
    answers : mapping of int to str
        Question number -> what was typed, or the key of an option. What is blank is left out.
    at : datetime
        When, with its time zone.

    Raises
    ------
    ValueError
        An answer to a question that the paper has not, or one that is too long.
    """
    kept = {}
    for number, typed in sorted(answers.items()):
        paper.item(number)
        if len(typed) > LONGEST_ANSWER:
            raise ValueError(f"Question {number}: {len(typed)} characters are too many; at most {LONGEST_ANSWER}.")
        if typed.strip():
            kept[str(number)] = typed
    content: dict[str, Any] = {
        "version": VERSION,
        "candidate": paper.candidate,
        "paper": paper.paper,
        "attempt": paper.attempt,
        "cohort": paper.cohort,
        "paper_digest": paper.digest,
        "asked": {str(one.number): one.digest for one in paper.items},
        "answers": kept,
        "handed_in_at": at.astimezone(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
    }
    content["checksum"] = checksum_of(content)
    text = json.dumps(content, indent=1, ensure_ascii=False) + "\n"
    return text.encode("utf-8", "backslashreplace")


def checksum_of(content: Mapping[str, Any]) -> str:
    """Digest of everything but the checksum itself."""
    return digest_of({name: value for name, value in content.items() if name != "checksum"})


def receipt_of(data: bytes) -> str:
    """The receipt of a file: eight characters of its SHA-256.

    >>> receipt_of(b"")
    'e3b0c442'
    """
    return hashlib.sha256(data).hexdigest()[:RECEIPT_LETTERS]


def handed_in_name(candidate: str, paper: str, attempt: int) -> str:
    """What the file is called.

    >>> handed_in_name("101", "creep", 1)
    '101-creep.handed-in.json'
    """
    return paper_stem(candidate, paper, attempt) + ENDING
