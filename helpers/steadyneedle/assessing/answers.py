"""What one candidate types into one paper: kept as typed in a file beside it, handed in as another."""

from __future__ import annotations

import contextlib
import datetime
import os
import re
import secrets
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

from steadyneedle.assessing.handed_in import HandedIn, HandedInError, read_handed_in
from steadyneedle.assessing.handed_in_form import ENDING, handed_in, handed_in_name, receipt_of
from steadyneedle.assessing.paper_file import Paper
from steadyneedle.assessing.paper_plan import JOB
from steadyneedle.foundation.store import Store, StoreError, write_atomically

VERSION = 1
ELSEWHERE = "This paper is open in a newer window. Go on there; or load this page again (F5) to go on here."
NUMBER = re.compile("[1-9][0-9]{0,3}")
OF_ANOTHER = {
    "candidate": "they are another candidate's",
    "paper": "the paper has another name",
    "attempt": "the attempt is another",
    "paper_digest": "its questions or numbers are other ones",
}
"""What says whose answers a file holds -> what is said where that is not this paper's."""


class Answers:
    """The answers to one paper, as they are typed.

    Parameters
    ----------
    paper : Paper
        The paper.
    folder : Path
        Where it lies.
    after_saving : callable
        Called whenever saving was tried, with success or not.

    Examples
    --------
    >>> import tempfile
    >>> from steadyneedle.assessing.paper_file import Item
    >>> item = Item(1, "text", "customer", 1, "What you say", {}, ("What do you tell the customer?",))
    >>> paper = Paper("101", "units", 1, "Units", 60, 70, "9266d379", (item,))
    >>> folder = tempfile.TemporaryDirectory()
    >>> answers = Answers(paper, Path(folder.name))
    >>> _ = answers.open(datetime.datetime(2026, 11, 27, 9, 12, tzinfo=datetime.UTC))
    >>> answers.keep(1, "It creeps.")
    >>> Answers(paper, Path(folder.name)).kept()
    {1: 'It creeps.'}
    >>> folder.cleanup()
    """

    def __init__(self, paper: Paper, folder: Path, after_saving: Callable[[], None] = lambda: None) -> None:
        self.paper = paper
        self.path = folder / f"{paper.stem}.answers.json"
        self.handed_in_path = folder / handed_in_name(paper.candidate, paper.paper, paper.attempt)
        self._about = {
            "candidate": paper.candidate,
            "paper": paper.paper,
            "attempt": paper.attempt,
            "paper_digest": paper.digest,
        }
        self._window = secrets.token_hex(8)
        self._started = ""
        self._typed: dict[int, str] = {}
        self._beside: dict[int, dict[str, str]] = {}
        self._taken = False  # whether this window has the paper, and knows what was kept before
        self._on_disk: tuple[dict[int, str], dict[int, dict[str, str]]] = ({}, {})
        self._after_saving = after_saving
        self.failed = ""
        """Why nothing was saved when that was tried last; empty where it was saved."""
        self._store = Store(self.path, VERSION, what="paper")

    def open(self, now: datetime.datetime) -> datetime.datetime:
        """Take the paper to this window; when it was begun. Any other window can save nothing from then on.

        Raises
        ------
        StoreError
            Nothing can be saved here, or the answers beside the paper belong to another one.
        """
        self._started = now.isoformat(timespec="seconds")
        self._taken, self._typed, self._beside = False, {}, {}
        self.save()
        return datetime.datetime.fromisoformat(self._started)

    @property
    def taken(self) -> bool:
        """Whether this window has once had the paper."""
        return self._taken

    def kept(self) -> dict[int, str]:
        """What was saved, by the number of the question; empty where the file cannot be read."""
        return self._answers_in(self._store.look()[0])

    def typed(self) -> dict[int, str]:
        """What was typed in this window and before, saved or not."""
        return dict(self._typed) if self._taken else {**self.kept(), **self._typed}

    def beside(self, number: int) -> dict[str, str]:
        """What is kept beside an answer and never handed in: of a job, what was chosen and not done yet."""
        kept = self._beside if self._taken else _beside_in(self._store.look()[0])
        return dict(kept.get(number, {}))

    def trouble(self) -> str:
        """What was wrong with the file, in a sentence; empty where all is well."""
        if not self._store.set_aside:
            return ""
        which = "Your" if self._store.whole else "Some"
        return f"{which} earlier answers could not be read. They are kept in {self._store.set_aside}."

    def unreadable(self) -> str:
        """What of the file beside the paper cannot be read: "all", "some" or nothing. Nothing is changed."""
        content, odd = self._store.look()
        kept = self._answers_in(content)
        if content.get("answers", {}) == _by_name(kept) and not odd:
            return ""
        return "some" if kept else "all"

    def wrong(self) -> str:
        """Why the file beside the paper cannot be used, in a sentence; empty where it can. Nothing is changed."""
        content, wrong = self._store.look()
        if not content and wrong:
            return wrong
        try:
            self._check(content)
        except StoreError as error:
            return str(error)
        return ""

    def elsewhere(self) -> str:
        """A sentence where a newer window has taken the paper, empty where it has not."""
        window = self._store.look()[0].get("window")
        return ELSEWHERE if self._taken and window not in (None, self._window) else ""

    def keep(self, number: int, text: str, beside: Mapping[str, str] | None = None) -> None:
        """Save an answer as typed, and with it, in one, what is kept beside it.

        Raises
        ------
        StoreError
            It was not saved.
        """
        changed = self._typed.get(number, "") != text
        self._typed[number] = text
        if beside is not None and beside != self._beside.get(number):
            self._beside[number], changed = dict(beside), True
        if changed or self.unsaved() or self.kept() != self._typed or self.elsewhere():
            self.save()

    def unsaved(self) -> list[int]:
        """The numbers of the questions whose answer, or what is kept beside it, could not be saved as it stands."""
        texts, beside = self._on_disk
        return [
            one.number
            for one in self.paper.items
            if self._typed.get(one.number, "") != texts.get(one.number, "")
            or self._beside.get(one.number, {}) != beside.get(one.number, {})
        ]

    def save(self) -> None:
        """Save all that was typed in this window; a file that is gone is made again.

        Raises
        ------
        StoreError
            It was not saved, or a newer window has the paper.
        """
        try:
            self._save()
        except StoreError as error:
            self.failed = str(error)
            raise
        else:
            self.failed, self._on_disk = "", (dict(self._typed), dict(self._beside))
        finally:
            self._after_saving()

    def _save(self) -> None:
        with self._store.change() as content:
            self._check(content)
            if self._taken and content.get("window") not in (None, self._window):
                raise StoreError(ELSEWHERE)
            started, typed, beside = self._started, self._typed, self._beside
            if not self._taken:
                kept = self._answers_in(content)
                if content.get("answers", {}) != _by_name(kept):
                    self._store.keep_copy()
                new = self._may_go_over(kept)
                started, typed = _time_in(content) or started, {**kept, **{one: typed[one] for one in new}}
                beside = {
                    **_beside_in(content),
                    **{one: beside[one] for one in beside if one in new or one not in kept},
                }
            content.update(self._about, started=started, window=self._window, answers=_by_name(typed))
            if beside or "beside" in content:
                content["beside"] = {str(number): beside[number] for number in sorted(beside)}
        self._taken, self._started, self._typed, self._beside = True, started, typed, beside

    def _may_go_over(self, kept: Mapping[int, str]) -> list[int]:
        """Questions whose answers may go over what was kept, where they were given before anybody knew of it.

        An empty field takes nothing away then, and a job that was begun is not begun anew: it takes no test back.
        """
        jobs = {one.number for one in self.paper.items if one.kind == JOB}
        there = {number for number, text in kept.items() if text.strip()}
        return [one for one, text in self._typed.items() if one not in there or (text.strip() and one not in jobs)]

    def handed_in(self) -> HandedIn | None:
        """What lies there as handed in; None where nothing of this paper does that can be read."""
        try:
            made = read_handed_in(self.handed_in_path)
        except HandedInError:
            return None
        return made if made.paper_digest == self.paper.digest else None

    def lies_there(self) -> str:
        """The receipt of what lies there as handed in, or that nothing does."""
        made = self.handed_in()
        return made.receipt if made else "not handed in"

    def hand_in(self, now: datetime.datetime) -> tuple[HandedIn, str]:
        """Write what is handed in, whole or not at all.

        What was handed in before is kept under another name first, which is given too. Where no answer has changed
        since, it stays.

        Raises
        ------
        StoreError
            Nothing was handed in; the sentence says why.
        """
        self.save()
        with self._store.holding() as content:
            self._check(content)
            answers, before = self._answers_in(content), self.handed_in()
            if before and _given(before.answers) == _given(answers):
                return before, ""
            data = handed_in(self.paper, answers, now)
            try:
                earlier = self._keep_earlier()
                write_atomically(self.handed_in_path, data)
            except OSError as error:
                raise StoreError(
                    f"Not handed in: {self.handed_in_path.name}: {error.strerror or error}. Free some space or check "
                    f"that you may write in {self.path.parent}, then hand in again."
                ) from error
        made = self.handed_in()
        if made is None or made.receipt != receipt_of(data):
            raise StoreError(f"Not handed in: {self.handed_in_path.name} was changed at once. Hand in again.")
        return made, earlier

    def _keep_earlier(self) -> str:
        """Keep what was handed in before under a name that is free; empty where there was nothing."""
        path = self.handed_in_path
        if not os.path.lexists(path):
            return ""
        if path.is_symlink() or not path.is_file():
            raise StoreError(f"Not handed in: {path.name} is no file of its own. Give it another name, then hand in.")
        data = path.read_bytes()
        for kept in _earlier_names(path):
            if not os.path.lexists(kept):
                write_atomically(kept, data)
                return kept.name
            if kept.is_file() and not kept.is_symlink() and kept.read_bytes() == data:  # kept, then stopped
                return kept.name
        raise AssertionError  # names without end

    def _check(self, content: Mapping[str, Any]) -> None:
        """Refuse answers to another paper."""
        other = [key for key in OF_ANOTHER if key in content and content[key] != self._about[key]]
        if other == ["paper_digest"]:
            raise StoreError(
                f"{self.path.name} holds answers to another paper of the same name: the paper was issued again with "
                "other questions or other numbers. Keep both papers and that file, and ask your assessor which paper "
                "counts. To sit this one, give that file another name, then open the paper again."
            )
        if other:
            raise StoreError(
                f"{self.path.name} holds answers to another paper: {OF_ANOTHER[other[0]]}. "
                "Give that file another name, then open the paper again."
            )

    def _answers_in(self, content: Mapping[str, Any]) -> dict[int, str]:
        """The answers of a file that somebody may have edited: texts by the number of a question of this paper."""
        found = content.get("answers")
        items = found.items() if isinstance(found, dict) else ()
        texts = {int(name): text for name, text in items if isinstance(text, str) and NUMBER.fullmatch(name)}
        return {one.number: texts[one.number] for one in self.paper.items if one.number in texts}


def _earlier_names(path: Path) -> Iterator[Path]:
    stem, count = path.name.removesuffix(ENDING), 0
    while True:
        count += 1
        yield path.with_name(f"{stem}.handed-in-earlier-{count}.json")


def _given(answers: Mapping[int, str]) -> dict[int, str]:
    """Answers that say something."""
    return {number: text for number, text in answers.items() if text.strip()}


def _by_name(answers: Mapping[int, str]) -> dict[str, str]:
    """As JSON holds them, in the order of their questions."""
    return {str(number): answers[number] for number in sorted(answers)}


LONGEST_BESIDE = 200
"""Characters of what is kept beside an answer, each."""


def _beside_in(content: Mapping[str, Any]) -> dict[int, dict[str, str]]:
    """What is kept beside the answers, in a file that somebody may have edited: texts by name, by question number."""
    found = content.get("beside")
    items = found.items() if isinstance(found, dict) else ()
    return {
        int(number): {
            name: text for name, text in kept.items() if isinstance(text, str) and len(text) <= LONGEST_BESIDE
        }
        for number, kept in items
        if NUMBER.fullmatch(number) and isinstance(kept, dict)
    }


def _time_in(content: Mapping[str, Any]) -> str:
    """When the paper was begun, as kept; empty where that is no time."""
    kept = content.get("started")
    with contextlib.suppress(ValueError, TypeError):
        if datetime.datetime.fromisoformat(kept).tzinfo:  # type: ignore[arg-type]
            return str(kept)
    return ""
