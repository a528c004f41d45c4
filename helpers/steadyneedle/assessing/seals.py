"""Seals: by the cohort's secret the workbook knows its own key file and record again, and sees what was changed.

Each line of a record ends with a seal over every byte before it, so that no line can be edited, cut, moved or taken out
without the first one that no longer fits being named.
"""

from __future__ import annotations

import hashlib
import hmac
import io
import json
import re
from collections.abc import Mapping
from typing import Any

from steadyneedle.assessing.canonical import canonical
from steadyneedle.foundation.notebooks import printed_by, source_of

LETTERS = 32
RECORD, REGISTER = b"seal of a line of the record\n", b"seal of an edition in the register\n"
BOOK = b"seal of a graded notebook\n"
"""What is sealed; a seal of the one is none of the other."""
_END = re.compile(rb', "seal": "([0-9a-f]{%d})"\}\n' % LETTERS)
_END_BYTES = len(', "seal": ""}\n') + LETTERS


def edition_seal(secret: bytes, paper: str, attempt: int, plan: Any, papers: Mapping[str, str]) -> str:
    """The seal of one attempt at one paper in a key: of its plan as data and of each candidate's entry."""
    seal = hmac.new(secret, REGISTER, hashlib.sha256)
    seal.update(canonical([paper, attempt, plan]) + b"\n")
    for candidate, entry in sorted(papers.items()):
        seal.update(canonical([candidate, entry]) + b"\n")
    return seal.hexdigest()[:LETTERS]


def book_seal(secret: bytes, book: dict[str, Any]) -> str:
    """The seal of a notebook: of what its cells say and printed, however a program saved it."""
    seal = hmac.new(secret, BOOK, hashlib.sha256)
    for cell in book["cells"]:
        seal.update(canonical([cell["cell_type"], source_of(cell), printed_by(cell)]) + b"\n")
    return seal.hexdigest()[:LETTERS]


def fits(seal: Any, should_be: str) -> bool:
    """Whether what a file says is a seal is the one it should be."""
    return isinstance(seal, str) and seal.isascii() and hmac.compare_digest(seal, should_be)


def seal_line(record: io.BytesIO, secret: bytes) -> None:
    """End the last line of a record, which lacks its seal and closing brace alone."""
    seal = hmac.new(secret, RECORD, hashlib.sha256)
    with record.getbuffer() as written:
        seal.update(written)
    record.write(f', "seal": "{seal.hexdigest()[:LETTERS]}"}}\n'.encode())


def first_unfit(record: bytes, secret: bytes) -> int:
    """Number of the first line of a record that does not fit what stands before it; 0 where all fit.

    >>> record = io.BytesIO()
    >>> for text in ('{"by": "you"', '{"by": "me"'):
    ...     _ = record.write(text.encode())
    ...     seal_line(record, b"secret")
    >>> first_unfit(record.getvalue(), b"secret"), first_unfit(record.getvalue().replace(b"me", b"us"), b"secret")
    (0, 2)
    """
    seal, at, number = hmac.new(secret, RECORD, hashlib.sha256), 0, 0
    with memoryview(record) as written:
        while at < len(record):
            number += 1
            end = record.find(b"\n", at) + 1
            sealed = end - _END_BYTES
            found = _END.fullmatch(record, sealed, end) if sealed > at else None
            if found is None:
                return number
            seal.update(written[at:sealed])
            if not hmac.compare_digest(seal.hexdigest()[:LETTERS].encode(), found[1]):
                return number
            seal.update(written[sealed:end])
            at = end
    return 0


def cohort_said(record: bytes) -> str:
    """Which cohort the first line of a record says it is of; empty where it says none."""
    try:
        said = json.loads(record.partition(b"\n")[0])["cohort"]
    except (ValueError, TypeError, KeyError, RecursionError):
        return ""
    return said if isinstance(said, str) else ""
