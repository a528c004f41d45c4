"""The key of a cohort: the secret from which all its papers' numbers come, and what was issued to whom.

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

from steadyneedle.assessing.edition import Edition, is_entry, plan_as_data, plan_of
from steadyneedle.assessing.paper_plan import PaperPlan
from steadyneedle.assessing.seals import edition_seal, fits
from steadyneedle.foundation.plain_json import PlainJSONError, read_plain
from steadyneedle.foundation.store import write_atomically
from steadyneedle.foundation.text_files import printable

VERSION = 3
SECRET_BYTES = 32
LARGEST_KEY = 20_000_000
"""Bytes; an entry of a candidate takes about four hundred."""
OWNER_ALONE = 0o600
WHAT = (
    "The key of a cohort's papers. Keep it where no candidate can read it, and keep a copy: "
    "without it nothing can be marked."
)

Issued = dict[str, dict[int, Edition]]
"""Name of a paper -> attempt -> what was issued."""


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

    def edition(self, paper: str, attempt: int) -> Edition | None:
        """What was issued of one paper and attempt; None where nothing was."""
        return self.issued.get(paper, {}).get(attempt)

    def candidates(self, paper: str, attempt: int) -> dict[str, str]:
        """Candidate -> digest of the paper, for one paper and attempt; empty where none was issued."""
        edition = self.edition(paper, attempt)
        return {one: edition.digest(one) for one in edition.papers} if edition else {}

    def jobs_before(self, paper: str, candidate: str, attempt: int) -> set[int]:
        """Numbers of the jobs that a candidate got in earlier attempts at a paper."""
        earlier = (one for at, one in self.issued.get(paper, {}).items() if at < attempt and candidate in one.papers)
        return {job for one in earlier for job in one.jobs(candidate)}

    def everybody(self) -> set[str]:
        """All candidates to whom a paper was issued."""
        return {one for attempts in self.issued.values() for edition in attempts.values() for one in edition.papers}

    def issue(self, plan: PaperPlan, attempt: int, papers: dict[str, str]) -> None:
        """Note what was issued to whom, as `entry_of` writes it, besides what was noted before; the plan stays."""
        self.issued.setdefault(plan.name, {}).setdefault(attempt, Edition(plan)).papers.update(papers)


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
        if path.exists() and not path.is_file():
            raise KeyFileError(f"{printable(str(path), 300)} is no file, so it is no key. {NAME_IT}")
        if not path.is_file():
            raise KeyFileError(f"There is no key {printable(str(path), 300)}. {NAME_IT}")
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
    if version != VERSION:
        raise KeyFileError(f"{name} was made before the first release, and does not hold what was asked. {AFRESH}")
    secret = content.get("secret")
    if not isinstance(secret, str) or not re.fullmatch(f"[0-9a-f]{{{2 * SECRET_BYTES}}}", secret):
        raise KeyFileError(f"{name} is damaged: its secret is not whole. {COPY}")
    return CohortKey(bytes.fromhex(secret), _issued(content.get("issued"), bytes.fromhex(secret), name))


NAME_IT = "Name the key that made the papers: --key FILE."
COPY = "Take the copy you kept."
AFRESH = "Make the papers afresh with a new key."


def _issued(kept: Any, secret: bytes, name: str) -> Issued:
    """The register of a key file, checked: it is whole, and nobody edited it."""
    found: Issued = {}
    damaged = KeyFileError(f"{name} is damaged: its register of papers is not whole. {COPY}")
    if not isinstance(kept, dict):
        raise damaged
    for paper, attempts in kept.items():
        if not isinstance(attempts, dict):
            raise damaged
        for attempt, noted in attempts.items():
            edition = _edition(noted)
            if not re.fullmatch("[1-9][0-9]{0,3}", attempt) or edition is None or edition.plan.name != paper:
                raise damaged
            sealed = edition_seal(secret, paper, int(attempt), noted["plan"], edition.papers)
            if not fits(noted["seal"], sealed):
                raise KeyFileError(
                    f"{name} is damaged or was edited by hand: attempt {attempt} at {paper} is not as it was issued. "
                    f"{COPY}"
                )
            found.setdefault(paper, {})[int(attempt)] = edition
    return found


def _edition(noted: Any) -> Edition | None:
    """What was issued of one attempt; None where it is not whole."""
    if not isinstance(noted, dict) or set(noted) != {"plan", "papers", "seal"} or not isinstance(noted["papers"], dict):
        return None
    plan = plan_of(noted["plan"])
    if plan is None or not all(is_entry(one, plan) for one in noted["papers"].values()):
        return None
    return Edition(plan, dict(noted["papers"]))


OPEN = "Others on this machine can read {}, or even change it. Make it yours alone: chmod 600 {}"


def open_to_others(path: Path) -> str:
    """What is to be said of a key that not only its owner can read; empty where there is nothing, or no such rights."""
    if os.name != "posix" or not path.stat().st_mode & 0o077:
        return ""
    return OPEN.format(printable(path.name), printable(str(path), 300))


def write_key(path: Path, key: CohortKey) -> None:
    """Keep a key: whole or not at all, for its owner alone; behind a link, where it lies.

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
            paper: {str(attempt): _noted(one, paper, attempt, key.secret) for attempt, one in sorted(attempts.items())}
            for paper, attempts in sorted(key.issued.items())
        },
    }
    data = (json.dumps(content, indent=1, ensure_ascii=False) + "\n").encode("utf-8")
    path = path.resolve()
    if path.exists() and os.name == "posix":
        with contextlib.suppress(OSError):  # a stick may know no modes
            path.chmod(OWNER_ALONE)
    write_atomically(path, data, OWNER_ALONE)


def _noted(edition: Edition, paper: str, attempt: int, secret: bytes) -> dict[str, Any]:
    """What the file holds of one attempt at one paper."""
    plan = plan_as_data(edition.plan)
    sealed = edition_seal(secret, paper, attempt, plan, edition.papers)
    return {"plan": plan, "papers": dict(sorted(edition.papers.items())), "seal": sealed}
