"""Reading what a candidate handed in, as data: nothing of it runs, nothing of it is believed before it is checked.

A file is whole and as the form says, or it is refused with a sentence that says what is wrong and what to do.
"""

from __future__ import annotations

import datetime
import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from steadyneedle.assessing.as_shown_safely import plain_name
from steadyneedle.assessing.handed_in_form import (
    ENDING,
    FIELDS,
    LONGEST_ANSWER,
    RECEIPT_LETTERS,
    VERSION,
    checksum_of,
)
from steadyneedle.assessing.paper_file import CANDIDATE, NAME
from steadyneedle.foundation.own_files import OwnFileError, read_own_file
from steadyneedle.foundation.strict_json import StrictJSONError, read_strict

LARGEST = 5_000_000
"""Bytes; a paper of twenty questions comes back as a few thousand."""

NOT_READ = "not read"
"""In place of the hash of a file that was not opened."""

LARGEST_ATTEMPT, LONGEST_NAME = 9999, 80
_NUMBER, _DIGEST = re.compile("[1-9][0-9]{0,2}"), re.compile("[0-9a-f]{64}")
_NAMED = re.compile(f"([0-9]{{1,12}})-({NAME.pattern}?)(?:-attempt-([1-9][0-9]{{0,3}}))?" + re.escape(ENDING))
PUT, AGAIN = "Put the file itself into the folder, then mark again.", "Ask for the file again."
ARCHIVES = (b"PK\x03\x04", b"PK\x05\x06", b"7z\xbc\xaf\x27\x1c", b"Rar!\x1a\x07", b"\x1f\x8b")
"""What the bytes of a zip, 7z, rar or gz begin with."""
IN_OFFICE = (b"[Content_Types].xml", b"mimetypeapplication/vnd")
"""What a document of an office program holds, which is an archive too."""
ARCHIVE = (
    f"is an archive. Unpack it, put the file in it whose name ends with {ENDING} into the folder, and take the archive "
    "out; then mark again."
)
OFFICE = f"is a document of an office program. Ask for the file that Hand in wrote; its name ends with {ENDING}."
IS_A_KEY = (
    "is a key: whoever sees it can work out every paper of its cohort beforehand. Take it out of the folder, keep it "
    "where no candidate can read it, and find out who sent it and who else has it. The guide for assessors says under "
    "'The key' what to do where a candidate has seen one."
)
_SECRET = re.compile(rb'"secret"\s*:\s*"[0-9a-f]{64}')
"""What every key holds, whole or cut off; in an answer the quotes would stand behind a stroke."""
KEPT = {"answers", "started", "window"}
"""Fields of the file in which a paper keeps what is typed."""
NEVER = (
    "keeps what was typed into a paper, and is not handed in. Ask the candidate to open the paper again and press Hand "
    f"in, and for the file which that writes; its name ends with {ENDING}. Where that cannot be, you decide whether "
    "what was typed counts: the guide for assessors says how it is then handed in."
)


class HandedInError(ValueError):
    """A file cannot be marked; the sentence says why.

    `sha256` is its hash, or `NOT_READ` where it was not opened; `sat` says whose it claims to be, where it was whole.
    """

    def __init__(self, sentence: str, sha256: str, sat: tuple[str, str, int] | None = None) -> None:
        super().__init__(sentence)
        self.sha256 = sha256
        self.sat = sat


class NeverHandedInError(HandedInError):
    """What a paper keeps while it is typed, sent alone.

    `typed_into` says into whose paper, and `paper_digest` into which; nobody has checked either. None where the file
    does not say so as it was written.
    """

    def __init__(self, sentence: str, sha256: str, content: Mapping[str, Any]) -> None:
        super().__init__(sentence, sha256)
        said: list[Any] = [content.get(name) for name in ("candidate", "paper", "attempt", "paper_digest")]
        candidate, paper, attempt, digest = said
        self.typed_into: tuple[str, str, int] | None = None
        self.paper_digest = ""
        if [type(one) for one in said] != [str, str, int, str]:
            return
        if _is_whose(candidate, paper, attempt) and _DIGEST.fullmatch(digest):
            self.typed_into, self.paper_digest = (candidate, paper, attempt), digest


@dataclass(frozen=True)
class HandedIn:
    """What one file says, in the form's own words, and the hash of its bytes."""

    sha256: str
    candidate: str
    paper: str
    attempt: int
    cohort: str
    paper_digest: str
    asked: Mapping[int, str]
    answers: Mapping[int, str]
    handed_in_at: str
    sha256_before: str = ""
    """The hash of the file as it was sent, where line ends or first bytes were changed on the way."""

    @property
    def as_sent(self) -> str:
        """The hash of the file as it was sent, whatever mail or an editor did to its line ends."""
        return self.sha256_before or self.sha256

    @property
    def receipt_before(self) -> str:
        """The receipt that the candidate was shown, where the file was changed on the way; else empty."""
        return self.sha256_before[:RECEIPT_LETTERS]

    @property
    def receipt(self) -> str:
        """The eight letters that the candidate was shown."""
        return self.sha256[:RECEIPT_LETTERS]


def read_handed_in(path: Path) -> HandedIn:
    """What a handed-in file says.

    Parameters
    ----------
    path : Path
        The file. No link is followed, no pipe waited for, and what holds more than 5 MB is not opened.

    Returns
    -------
    HandedIn
        Each field of the form, checked.

    Raises
    ------
    HandedInError
        No plain file, too large, no JSON, not the form, of a newer version, or changed after it was handed in.
    """
    name = f"The file {plain_name(path.name)}"
    try:
        data = read_own_file(path, LARGEST)
    except OwnFileError as error:
        raise HandedInError(f"{name} {error}. {AGAIN if 'MB' in str(error) else PUT}", NOT_READ) from None
    sha256 = hashlib.sha256(data).hexdigest()
    if data.startswith(ARCHIVES):
        raise HandedInError(f"{name} {OFFICE if any(one in data for one in IN_OFFICE) else ARCHIVE}", sha256)
    if _SECRET.search(data):
        raise HandedInError(f"{name} {IS_A_KEY}", sha256)
    try:
        content = read_strict(data)
        wrong = _wrong_in(content)
    except StrictJSONError as error:
        wrong = f"{error}. {AGAIN}"
    else:
        if isinstance(content, dict) and set(content) >= KEPT and not {"checksum", "handed_in_at"} & set(content):
            raise NeverHandedInError(f"{name} {NEVER}", sha256, content)
    if wrong:
        raise HandedInError(f"{name} {wrong}", sha256)
    return HandedIn(
        sha256, content["candidate"], content["paper"], content["attempt"], content["cohort"], content["paper_digest"],
        _by_number(content["asked"]), _by_number(content["answers"]), content["handed_in_at"],
        _sha256_before(data),
    )  # fmt: skip


_FIRST_BYTES = b"\xef\xbb\xbf"


def _sha256_before(data: bytes) -> str:
    """The hash of a file before mail or an editor changed its line ends or first bytes; empty where neither did."""
    before = data.removeprefix(_FIRST_BYTES).replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    return "" if before == data else hashlib.sha256(before).hexdigest()


def _by_number(texts: Mapping[str, str]) -> dict[int, str]:
    return {int(number): texts[number] for number in sorted(texts, key=int)}


def named_in(file_name: str) -> tuple[str, str, int] | None:
    """Candidate, paper and attempt that the name of a file claims; None where it is no such name.

    >>> named_in("101-creep.handed-in.json"), named_in("7-creep-attempt-2.handed-in.json"), named_in("notes.txt")
    (('101', 'creep', 1), ('7', 'creep', 2), None)
    """
    match = _NAMED.fullmatch(file_name)
    return (match[1], match[2], int(match[3] or 1)) if match else None


def _wrong_in(content: Any) -> str:
    """What is wrong with the content, to stand behind the file's name; empty where all is as the form says."""
    return _no_form(content) or _not_whole(content)


def _no_form(content: Any) -> str:
    """Whether it is this form at all, and this version of it."""
    if isinstance(content, dict) and "cells" in content:
        return f"is a notebook. Ask for the file that Hand in wrote; its name ends with {ENDING}."
    if not isinstance(content, dict) or not {"version", "answers"} & set(content):
        return f"is no handed-in paper. {AGAIN}"
    version = content.get("version")
    if type(version) is int and version > VERSION:
        return "was handed in with a newer Steady Needle. Update the workbook, then mark again."
    if version != VERSION or type(version) is not int:
        return f"does not say which version of the form it is. {AGAIN}"
    return ""


def _not_whole(content: Mapping[str, Any]) -> str:
    """Whether each field is there, holds what it may hold, and fits the checksum."""
    missing = next((field for field in FIELDS if field not in content), None)
    if missing is not None:
        return f"is not whole: its field '{missing}' is missing. {AGAIN}"
    if len(content) > len(FIELDS):
        return f"holds a field that no handed-in paper has. {AGAIN}"
    odd = next((field for field, kind in FIELDS.items() if type(content[field]) is not kind), "")
    odd = odd or _odd_field(content)
    if odd:
        return f"was changed or is damaged: its field '{odd}' holds what cannot stand there. {AGAIN}"
    if checksum_of(content) != content["checksum"]:
        return f"was changed after it was handed in, or is damaged: its checksum does not fit. {AGAIN}"
    return ""


def _odd_field(content: Mapping[str, Any]) -> str:
    """The first field whose value no paper has; empty where there is none."""
    asked, answers = content["asked"], content["answers"]
    fine = {
        "candidate": _is_whose(content["candidate"], "paper", 1),
        "paper": _is_whose("1", content["paper"], 1),
        "attempt": _is_whose("1", "paper", content["attempt"]),
        "cohort": bool(re.fullmatch("[0-9a-f]{8}", content["cohort"])),
        "paper_digest": bool(_DIGEST.fullmatch(content["paper_digest"])),
        "asked": bool(asked) and all(_is_entry(number, digest, _DIGEST) for number, digest in asked.items()),
        "answers": all(
            number in asked and isinstance(typed, str) and len(typed) <= LONGEST_ANSWER
            for number, typed in answers.items()
        ),
        "handed_in_at": _is_time(content["handed_in_at"]),
        "checksum": bool(_DIGEST.fullmatch(content["checksum"])),
    }
    return next((field for field, good in fine.items() if not good), "")


def _is_whose(candidate: str, paper: str, attempt: int) -> bool:
    """Whether candidate, paper and attempt are written as papers write them."""
    named = len(paper) <= LONGEST_NAME and bool(NAME.fullmatch(paper))
    return named and bool(CANDIDATE.fullmatch(candidate)) and 1 <= attempt <= LARGEST_ATTEMPT


def _is_entry(number: str, value: Any, pattern: re.Pattern[str]) -> bool:
    return bool(_NUMBER.fullmatch(number)) and isinstance(value, str) and bool(pattern.fullmatch(value))


def _is_time(text: str) -> bool:
    """Whether a text is a time of the form, 2026-11-27T10:15:00Z."""
    if not re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", text, re.ASCII):
        return False
    try:
        datetime.datetime.fromisoformat(text)
    except ValueError:
        return False
    return True
