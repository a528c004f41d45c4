"""What came back: a first look at each file of a folder says whose it is, and what lies there more than once.

A file that cannot be marked becomes a row that says why; whose it is, only the key and the file's own words say.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from steadyneedle.assessing.as_shown_safely import plain_name
from steadyneedle.assessing.canonical import digest_of
from steadyneedle.assessing.handed_in import HandedInError, NeverHandedInError, named_in, read_handed_in
from steadyneedle.assessing.handed_in_folder import beside_of
from steadyneedle.assessing.handed_in_form import RECEIPT_LETTERS, handed_in_name
from steadyneedle.assessing.mark_sheet import SheetRow, Twice, unreadable_row
from steadyneedle.assessing.marking_record import RecordedRow
from steadyneedle.assessing.paper_file import paper_stem
from steadyneedle.assessing.secret import CohortKey

Sat = tuple[str, str, int]
"""Candidate, paper and attempt."""
NOT_NOTED = (
    "cannot be marked: no paper of this kind was issued to candidate {} with this key, though the file "
    "says that it is of this key's cohort. Another copy of the key may have made that paper: then make it once more "
    "with this key, for a roster with that candidate (with the same workbook the same numbers come), and mark again. "
    "Otherwise ask who sent it."
)
ONE_RECEIPT = (
    "The files {} are different files of one candidate with the receipt {}. That does not happen by chance: somebody "
    "made one of them so. Find out which was handed in, move the other out of the folder, and mark again."
)
ANOTHERS_PAPER = (
    "has the name of candidate {0} and holds the answers of candidate {1}'s paper. Numbers and marks belong to that "
    "paper, whatever the file is called; who sat it, your own sheet of the day says. If it was {1}, name the file {2}, "
    "and mark again. If {0} sat the paper of {1}, leave the file as it is: this row says so. {0} has no mark from it, "
    "and sits another attempt; the guide for assessors says more under 'Resits and late candidates'."
)


class AnotherCohortError(HandedInError):
    """A file of another cohort, in which somebody else may have the same number: it is nobody's of this one."""


@dataclass(frozen=True, slots=True)
class Came:
    """A file that can be marked: whose it is, its hash, a digest of its answers; `also` are files of the same bytes."""

    name: str
    sat: Sat
    sha256: str
    answers: str
    as_sent: str
    also: tuple[str, ...] = ()

    @property
    def receipts(self) -> set[str]:
        """The receipt of the file, and the one that it was sent with."""
        return {self.sha256[:RECEIPT_LETTERS], self.as_sent[:RECEIPT_LETTERS]}


@dataclass
class CameBack:
    """The files that can be marked, rows of those that cannot, and of whom anything lies there.

    `left_out` are names of what lies beside a handed-in file that came under another name.
    """

    to_mark: list[Came] = field(default_factory=list)
    entries: list[RecordedRow] = field(default_factory=list)
    seen: set[Sat] = field(default_factory=set)
    left_out: list[str] = field(default_factory=list)


def look_at_all(folder: Path, names: list[str], key: CohortKey, step: Callable[[], None]) -> CameBack:
    """A first look at every file of a folder; `step` is called for each that needs no second."""
    found, beside = CameBack(), [one for one in names if beside_of(one)]
    _first_looks(found, folder, [one for one in names if not beside_of(one)], key, step)
    if beside:  # it may have been handed in under the name that a mail program gave
        stems = {paper_stem(*one.sat) for one in found.to_mark}
        found.left_out = [one for one in beside if beside_of(one) in stems]
        _first_looks(found, folder, [one for one in beside if beside_of(one) not in stems], key, step)
        for _ in found.left_out:
            step()
    found.to_mark = _without_copies(found.to_mark, step)
    found.seen |= {one.sat for one in found.to_mark}
    of_one_receipt = _of_one_receipt(found.to_mark)
    for one in found.to_mark:
        if one.sha256 in of_one_receipt:
            row = unreadable_row(one.sat, one.sha256, of_one_receipt[one.sha256])
            found.entries.append(RecordedRow(row, plain_name(one.name), one.sha256))
            step()
    if of_one_receipt:
        found.to_mark = [one for one in found.to_mark if one.sha256 not in of_one_receipt]
    return found


def _first_looks(
    found: CameBack, folder: Path, names: list[str], key: CohortKey, step: Callable[[], None]
) -> None:  # fmt: skip
    """Sort files into those that can be marked and those that cannot."""
    for name in names:
        try:
            found.to_mark.append(_looked_at(folder / name, key))
        except HandedInError as error:
            found.entries.append(refused(name, key, error))
            if not isinstance(error, AnotherCohortError):
                found.seen.add(_whose(found.entries[-1].row))
            step()


def _looked_at(path: Path, key: CohortKey) -> Came:
    """A first look at a file: whether it can be marked.

    Raises
    ------
    HandedInError
        It cannot; the sentence says why.
    """
    read = read_handed_in(path)
    sat, name = (read.candidate, read.paper, read.attempt), f"The file {plain_name(path.name)}"
    edition = key.edition(read.paper, read.attempt)
    issued = edition.digest(read.candidate) if edition else ""
    if read.cohort != key.cohort:
        raise AnotherCohortError(
            f"{name} belongs to another cohort. Mark it with the key that made its paper.", read.sha256, sat
        )
    if not issued:
        said = NOT_NOTED.format(read.candidate)
    elif read.paper_digest != issued:
        said = f"is not of the paper that candidate {read.candidate} got. Ask for the file that belongs to it."
    elif (called := named_in(path.name)) is not None and called != sat:
        raise HandedInError(f"{name} {_called_otherwise(called, sat)}", read.sha256, called)
    else:
        return Came(path.name, (sat[0], sys.intern(sat[1]), sat[2]), read.sha256, digest_of(read.answers), read.as_sent)
    raise HandedInError(f"{name} {said}", read.sha256, sat)


def refused(name: str, key: CohortKey, error: HandedInError) -> RecordedRow:
    """A file that cannot be marked: whose it is stands in it, else in its name where such a paper was issued.

    What was typed and never handed in is somebody's where it was typed into the very paper that they got.
    """
    claimed = error.sat or named_in(name)
    if isinstance(error, NeverHandedInError):
        claimed = error.typed_into
        edition = key.edition(claimed[1], claimed[2]) if claimed else None
        if not edition or not claimed or edition.digest(claimed[0]) != error.paper_digest:
            claimed = None
    elif claimed is not None and error.sat is None:
        edition = key.edition(claimed[1], claimed[2])
        claimed = claimed if edition and claimed[0] in edition.papers else None
    return RecordedRow(unreadable_row(claimed, error.sha256, str(error)), plain_name(name), error.sha256)


def _whose(row: SheetRow) -> Sat:
    return row.candidate, row.paper, int(row.attempt or 0)


def not_seen(key: CohortKey, papers: set[str], seen: set[Sat]) -> Iterator[Sat]:
    """Candidates of whom no file lies there: of each paper and attempt that came back at all, else of all."""
    for paper, attempts in key.issued.items():
        for attempt, edition in attempts.items():
            came_back = not papers or any(sat[1:] == (paper, attempt) for sat in seen)
            if came_back:
                yield from ((one, paper, attempt) for one in edition.papers if (one, paper, attempt) not in seen)


def _called_otherwise(called: Sat, holds: Sat) -> str:
    """What is said of a file whose name says one thing and whose content another."""
    if called[0] != holds[0]:
        return ANOTHERS_PAPER.format(called[0], holds[0], plain_name(handed_in_name(*holds)))
    says, is_of = (f"{paper}, attempt {attempt}" for _, paper, attempt in (called, holds))
    return (
        f"has the name of {says} and holds the answers of {is_of}. Name it {plain_name(handed_in_name(*holds))}, or "
        "ask for the right file; then mark again."
    )


def _without_copies(came: list[Came], step: Callable[[], None]) -> list[Came]:
    """Files of the same bytes as one, which knows the names of the others."""
    found: dict[str, Came] = {}
    for one in came:
        first = found.get(one.sha256)
        found[one.sha256] = one if first is None else replace(first, also=(*first.also, one.name))
        if first is not None:
            step()
    return list(found.values())


def _of_one_receipt(came: list[Came]) -> dict[str, str]:
    """Files of one candidate that differ and share a receipt: SHA-256 to what is said of them."""
    found: dict[tuple[str, str], list[Came]] = defaultdict(list)
    for one in came:
        for receipt in one.receipts:
            found[one.sat[0], receipt].append(one)
    said = {}
    for (_, receipt), files in found.items():
        if len({one.as_sent for one in files}) > 1:
            names = " and ".join(plain_name(one.name) for one in files)
            said.update({one.sha256: ONE_RECEIPT.format(names, receipt) for one in files})
    return said


def twice_in(came: list[Came]) -> dict[Sat, Twice]:
    """What is said of a paper that came in more than once: different bytes, the same answers or others."""
    found: dict[Sat, list[Came]] = defaultdict(list)
    for one in came:
        found[one.sat].append(one)
    return {
        sat: Twice(tuple(plain_name(one.name) for one in files), len({one.answers for one in files}) > 1)
        for sat, files in found.items()
        if len(files) > 1
    }
