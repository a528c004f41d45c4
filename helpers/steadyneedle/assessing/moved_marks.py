"""Marks of persons that are others than at the last marking: said in one line a file, for nothing moves in silence."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from steadyneedle.assessing.marking_record import Typed

MOST_LISTED = 5
NO_MARK = "no mark"
MOVED_BY_HAND = (
    "{file}: {count} than at the last marking ({listed}). If nobody meant that, the column of marks may have been "
    "sorted without the others: put your copy of the file back, and mark again. record.jsonl has each mark as it was."
)
CHANGED_NOW = "New in changed-marks.csv: {listed}."


@dataclass(frozen=True, slots=True)
class MarkMoved:
    """A mark of somebody that was one and is another; `of` says whose, `was` and `now` are empty where there is none.

    >>> str(MarkMoved("4001", "2", "4")), str(MarkMoved("4001, question 3", "2", ""))
    ('4001 from 2 to 4', '4001, question 3 from 2 to no mark')
    """

    of: str
    was: str
    now: str

    def __str__(self) -> str:
        """As it is listed."""
        return f"{self.of} from {self.was or NO_MARK} to {self.now or NO_MARK}"


def moves_between(was: Mapping[str, Typed], now: Mapping[str, Typed], of: Mapping[str, str]) -> list[MarkMoved]:
    """The marks that were there before and are others now, or are gone.

    Parameters
    ----------
    was, now : mapping
        Row to its cells, as typed by the last marking and as typed now.
    of : mapping
        Row to whose it is; rows that are not in it are left out.
    """
    rows = sorted((whose, row) for row, whose in of.items() if row in was)
    found = [MarkMoved(whose, was[row].get("mark", ""), now.get(row, {}).get("mark", "")) for whose, row in rows]
    return [one for one in found if one.was != one.now]


def moved_by_hand(file: str, moves: Sequence[MarkMoved]) -> list[str]:
    """What is said of the marks of a file that moved; empty where none did."""
    if not moves:
        return []
    count = "a mark is another" if len(moves) == 1 else f"{len(moves)} marks are others"
    return [MOVED_BY_HAND.format(file=file, count=count, listed=in_a_line(moves))]


def changed_now(moves: Sequence[MarkMoved]) -> list[str]:
    """What is said of marks that `changed-marks.csv` changes, or changes back, since the last marking."""
    return [CHANGED_NOW.format(listed=in_a_line(moves))] if moves else []


def in_a_line(found: Sequence[object], between: str = "; ") -> str:
    """The first few of what was found, and how many more.

    >>> in_a_line([MarkMoved(str(one), "1", "2") for one in range(1, 8)])[-40:]
    '4 from 1 to 2; 5 from 1 to 2; and 2 more'
    """
    more = len(found) - MOST_LISTED
    return between.join([*map(str, found[:MOST_LISTED]), *([f"and {more} more"] if more > 0 else [])])
