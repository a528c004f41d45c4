"""The key of a cohort: the secret from which all its papers' numbers come, and to whom each paper was issued.

One file for all papers of a cohort, readable by its owner alone. The secret is never printed and stands in no paper.
"""

from __future__ import annotations

import contextlib
import hashlib
import hmac
import json
import os
import re
import secrets
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from steadyneedle.foundation.plain_json import PlainJSONError, read_plain
from steadyneedle.foundation.store import write_atomically
from steadyneedle.foundation.text_files import printable

VERSION = 1
SECRET_BYTES = 32
LARGEST_KEY = 20_000_000
"""Bytes; an entry of a candidate takes about a hundred."""
OWNER_ALONE = 0o600
WHAT = (
    "The key of a cohort's papers. Keep it where no candidate can read it, and keep a copy: "
    "without it nothing can be marked."
)

Issued = dict[str, dict[int, dict[str, str]]]
"""Name of a paper -> attempt -> candidate -> digest of the paper as it was issued."""


class KeyFileError(ValueError):
    """A key cannot be used; the sentence says why and what to do."""


@dataclass
class CohortKey:
    """What a key file holds; its secret shows in no message."""

    secret: bytes = field(repr=False)
    issued: Issued = field(default_factory=dict)

    @property
    def cohort(self) -> str:
        """Eight letters that tell one cohort from another and betray nothing of the secret.

        >>> CohortKey(bytes(32)).cohort
        '9266d379'
        """
        return hmac.new(self.secret, b"cohort", hashlib.sha256).hexdigest()[:8]

    def candidates(self, paper: str, attempt: int) -> dict[str, str]:
        """Candidate -> digest of the paper, for one paper and attempt; empty where none was issued."""
        return self.issued.get(paper, {}).get(attempt, {})

    def issue(self, paper: str, attempt: int, candidates: dict[str, str]) -> None:
        """Note to whom a paper was issued, besides those noted before."""
        self.issued.setdefault(paper, {}).setdefault(attempt, {}).update(candidates)


def new_key() -> CohortKey:
    """A key with a fresh secret and nothing issued."""
    return CohortKey(secrets.token_bytes(SECRET_BYTES))


def read_key(path: Path) -> CohortKey:
    """The key that a file holds.

    Raises
    ------
    KeyFileError
        No such file, no key, a damaged or a newer one.
    """
    name = printable(path.name)
    try:
        if not path.is_file():
            raise KeyFileError(
                f"There is no key {printable(str(path), 300)}. Name the key that made the papers: --key FILE."
            )
        if path.stat().st_size > LARGEST_KEY:
            raise KeyFileError(f"{name} is no key: it is far too large.")
        content, odd = read_plain(path.read_bytes())
    except PlainJSONError:
        raise KeyFileError(f"{name} is no key, or a damaged one. {COPY}") from None
    except OSError as error:
        raise KeyFileError(f"{name} cannot be read: {error.strerror or error}.") from None
    if not isinstance(content, dict) or odd or not {"version", "secret", "issued"} <= set(content):
        raise KeyFileError(f"{name} is no key, or a damaged one. {COPY}")
    version = content.get("version")
    if type(version) is int and version > VERSION:
        raise KeyFileError(f"{name} was written by a newer Steady Needle. Update the workbook.")
    secret = content.get("secret")
    if not isinstance(secret, str) or not re.fullmatch(f"[0-9a-f]{{{2 * SECRET_BYTES}}}", secret):
        raise KeyFileError(f"{name} is damaged: its secret is not whole. {COPY}")
    return CohortKey(bytes.fromhex(secret), _issued(content.get("issued"), name))


COPY = "Take the copy you kept."


def _issued(kept: Any, name: str) -> Issued:
    """The register of a key file, checked."""
    found: Issued = {}
    damaged = KeyFileError(f"{name} is damaged: its register of papers is not whole. {COPY}")
    if not isinstance(kept, dict):
        raise damaged
    for paper, attempts in kept.items():
        if not isinstance(attempts, dict):
            raise damaged
        for attempt, candidates in attempts.items():
            if not re.fullmatch("[1-9][0-9]{0,3}", attempt) or not isinstance(candidates, dict):
                raise damaged
            if not all(isinstance(one, str) for one in candidates.values()):
                raise damaged
            found.setdefault(paper, {})[int(attempt)] = dict(candidates)
    return found


def write_key(path: Path, key: CohortKey) -> None:
    """Keep a key: whole or not at all, for its owner alone.

    Raises
    ------
    OSError
        It cannot be written; a key that was there is untouched.
    """
    content = {
        "what": WHAT,
        "version": VERSION,
        "secret": key.secret.hex(),
        "issued": {
            paper: {str(attempt): dict(sorted(noted.items())) for attempt, noted in sorted(attempts.items())}
            for paper, attempts in sorted(key.issued.items())
        },
    }
    data = (json.dumps(content, indent=1, ensure_ascii=False) + "\n").encode("utf-8")
    if path.exists() and os.name == "posix":
        with contextlib.suppress(OSError):  # a stick may know no modes
            path.chmod(OWNER_ALONE)
    write_atomically(path, data, OWNER_ALONE)
