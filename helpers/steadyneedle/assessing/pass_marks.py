"""The pass mark in force: as on the day of issue, until somebody changes it by name; the record says who and when."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from steadyneedle.assessing.canonical import digest_of
from steadyneedle.assessing.edition import Edition, plan_as_data
from steadyneedle.assessing.paper_plan import PaperPlan

Attempt = tuple[str, int]
"""Paper and attempt."""
LONGEST_BY = 80
AS_ISSUED = "What was issued is marked as it was issued."
ANOTHER_PLAN = f"The plan of {{}} is another today. {AS_ISSUED}"
NO_PLAN = f"There is no plan of {{}} today. {AS_ISSUED}"
UNUSABLE = (
    f"The plan of {{}} cannot be used today: {{}} {AS_ISSUED} Mend the plan before you issue more papers; where the "
    "command then says that another paper was issued, whoever came late gets the next attempt."
)


class PassMarkError(ValueError):
    """A pass mark cannot be changed so; the sentence says what to do instead."""


@dataclass(frozen=True)
class PassMark:
    """The pass mark of one attempt at one paper, in percent: as issued, now, and since when and by whom that is so."""

    issued: int
    now: int
    since: str = ""
    by: str = ""

    def as_data(self) -> dict[str, Any]:
        """As the record holds it."""
        changed = {"issued_pass_percent": self.issued, "since": self.since, "by": self.by} if self.by else {}
        return {"pass_percent": self.now, **changed}


@dataclass(frozen=True)
class NewPassMark:
    """A pass mark that somebody sets, in percent, and who; of which paper and attempt, where that was named."""

    percent: int
    by: str
    paper: str = ""
    attempt: int = 0

    def is_of(self, paper: str, attempt: int) -> bool:
        """Whether it may be meant for this paper and attempt."""
        return self.paper in ("", paper) and self.attempt in (0, attempt)


def in_force(
    editions: Mapping[Attempt, Edition], recorded: Mapping[str, Any], change: NewPassMark | None, now: datetime.datetime
) -> dict[Attempt, PassMark]:
    """The pass mark of each attempt at each paper.

    Parameters
    ----------
    editions : mapping
        What was issued, of every paper and attempt that came back.
    recorded : mapping
        Paper -> attempt -> what the record last said of it.
    change : NewPassMark or None
        What somebody sets now.
    now : datetime
        With its time zone.

    Raises
    ------
    PassMarkError
        A change that may be meant for more than one paper or attempt that came back, or for none.
    """
    if change is not None:
        _refuse_unclear(editions, change)
    at = now.astimezone(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    found = {}
    for (paper, attempt), edition in editions.items():
        stands = _recorded(edition.plan.pass_percent, recorded, paper, attempt)
        if change is not None and change.is_of(paper, attempt) and change.percent != stands.now:
            stands = PassMark(stands.issued, change.percent, at, change.by)
        found[paper, attempt] = stands
    return found


def _refuse_unclear(editions: Mapping[Attempt, Edition], change: NewPassMark) -> None:
    """Refuse a change that does not say of which one paper and attempt."""
    there = sorted(editions)
    meant = [one for one in there if change.is_of(*one)]
    if len(meant) == 1:
        return
    held = " and ".join(f"{paper}, attempt {attempt}" for paper, attempt in meant or there) or "no paper"
    if meant:
        paper, attempt = meant[0]
        raise PassMarkError(
            f"The folder holds {held}. Say whose pass mark changes, for example --paper {paper} --attempt {attempt}."
        )
    named = " and ".join(filter(None, (change.paper, f"attempt {change.attempt}" if change.attempt else "")))
    raise PassMarkError(f"No file of {named or 'a paper'} is in the folder; it holds {held}. Nothing was changed.")


def _recorded(issued: int, recorded: Mapping[str, Any], paper: str, attempt: int) -> PassMark:
    """What the record last said, where it is whole; else as issued."""
    kept: Any = recorded.get(paper)
    kept = kept.get(str(attempt)) if isinstance(kept, dict) else None
    if isinstance(kept, dict) and kept.get("issued_pass_percent") == issued:
        now, since, by = kept.get("pass_percent"), kept.get("since"), kept.get("by")
        if type(now) is int and 1 <= now <= 100 and isinstance(since, str) and isinstance(by, str) and by:
            return PassMark(issued, now, since, by)
    return PassMark(issued, issued)


def what_counts(editions: Mapping[Attempt, Edition], marks: Mapping[Attempt, PassMark]) -> dict[str, Any]:
    """For the record: paper -> attempt -> a digest of its plan as issued, and its pass mark."""
    found: dict[str, Any] = {}
    for (paper, attempt), edition in sorted(editions.items()):
        plan = digest_of(plan_as_data(edition.plan))
        found.setdefault(paper, {})[str(attempt)] = {"plan": plan, **marks[paper, attempt].as_data()}
    return found


def changed_since(editions: Iterable[Edition], today: Mapping[str, PaperPlan | str]) -> list[str]:
    """What is to be said of papers whose plan is another today than when they were issued, is gone or cannot be used.

    Parameters
    ----------
    editions : iterable of Edition
        As issued.
    today : mapping
        Name of a paper -> its plan as it stands now, or why it cannot be used; a paper without a plan is left out.
    """
    found = set()
    for name, plan in ((one.plan.name, one.plan) for one in editions):
        now = today.get(name)
        if now is None:
            found.add(NO_PLAN.format(name))
        elif isinstance(now, str):
            found.add(UNUSABLE.format(name, now))
        elif now != plan:
            found.add(ANOTHER_PLAN.format(name))
    return sorted(found)
