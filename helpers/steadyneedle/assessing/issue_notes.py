"""What is said after papers were issued: of rosters that differ, of questions that stay the same, of a second key."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable
from pathlib import Path

from steadyneedle.assessing.paper_file import paper_stem
from steadyneedle.assessing.paper_plan import TEXT
from steadyneedle.assessing.secret import CohortKey, KeyFileError, read_key
from steadyneedle.foundation.text_files import printable

MOST_NAMED = 10


def notes_on(key: CohortKey, paper: str, attempt: int, candidates: list[str], folder: Path) -> tuple[str, ...]:
    """Sentences on what an assessor may not have meant.

    Parameters
    ----------
    key : CohortKey
        With what was issued now.
    paper : str
        Its name.
    attempt : int
        From 1.
    candidates : list of str
        Those of the roster.
    folder : Path
        Where the papers went.
    """
    said = (
        _not_in_the_roster(key, paper, attempt, candidates, folder),
        _never_before(key, paper, attempt, candidates),
        _same_texts(key, paper, attempt),
    )
    return tuple(filter(None, said))


def _not_in_the_roster(key: CohortKey, paper: str, attempt: int, candidates: list[str], folder: Path) -> str:
    """Who got a paper of this attempt before and does not stand in the roster: late ones have a roster of their own."""
    others = {*key.candidates(paper, attempt)} - {*candidates}
    if not others:
        return ""
    lying = sum((folder / f"{paper_stem(one, paper, attempt)}.ipynb").is_file() for one in others)
    who = "1 candidate who is" if len(others) == 1 else f"{len(others)} candidates who are"
    gone = "If that one" if len(others) == 1 else "If one of them"
    return (
        f"The key issued this paper and attempt to {who} not in this roster: {_listed(others)}. Papers of theirs in "
        f"that folder: {lying}. {gone} was taken out of the roster or got another number, give that paper to nobody: "
        "it counts as missing."
    )


def _never_before(key: CohortKey, paper: str, attempt: int, candidates: list[str]) -> str:
    """Who resits what they never sat."""
    earlier = {one for at in range(1, attempt) for one in key.candidates(paper, at)}
    new = [one for one in candidates if one not in earlier]
    if attempt == 1 or not new:
        return ""
    return (
        f"This is attempt {attempt}, and no earlier one was issued to {_listed(new)}. If a number is a slip, correct "
        "the roster and type the line again; give the paper of the wrong number to nobody. It counts as missing."
    )


def _same_texts(key: CohortKey, paper: str, attempt: int) -> str:
    """Which short texts ask what the attempt before asked: no numbers are drawn for them."""
    now, before = key.edition(paper, attempt), key.edition(paper, attempt - 1)
    if now is None or before is None:
        return ""
    asked = {one.ask for one in before.plan.questions if one.kind == TEXT}
    same = [one.number for one in now.plan.questions if one.kind == TEXT and one.ask in asked]
    if not same:
        return ""
    which = f"Question {same[0]} is a short text and asks" if len(same) == 1 else (
        f"Questions {', '.join(map(str, same))} are short texts and ask"
    )  # fmt: skip
    return (
        f"{which} what attempt {attempt - 1} asked. To ask something else, change the plan and issue attempt "
        f"{attempt + 1} in place of this one, before anybody sits it."
    )


def another_key_beside(path: Path, paper: str, folder: Path) -> str:
    """What is said where a key was made beside one that is there already; empty where none is.

    Parameters
    ----------
    path : Path
        The key that was made.
    paper : str
        Of which paper.
    folder : Path
        Where the papers went; with a fresh key no others lie there.
    """
    others = [one for one in sorted(path.parent.glob("*.key")) if one != path and _is_key(one)]
    if not others:
        return ""
    names, one = _listed(each.name for each in others), printable(others[0].name)
    return (
        f"Beside it lies {names}. One key serves all papers of a cohort. If these candidates are of the same cohort, "
        f"delete {printable(path.name)}, and in {printable(str(folder), 300)} index.csv and all that ends in "
        f'-{paper}.ipynb, before anybody has a paper; then type the line again with --key "{one}".'
    )


def _is_key(path: Path) -> bool:
    with contextlib.suppress(KeyFileError):
        read_key(path)
        return True
    return False


def _listed(names: Iterable[str]) -> str:
    """A few names in order, numbers by size, and how many more.

    >>> _listed(["12", "7"])
    '7, 12'
    """
    ordered = sorted(map(printable, names), key=lambda one: (len(one), one) if one.isdigit() else (0, one))
    more = len(ordered) - MOST_NAMED
    return ", ".join(ordered[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
