"""The files in which persons mark: `by-hand/QUESTION.csv`, one for a second marker, one for what the two agree on.

A row is an answer under its code. What was typed stays, whatever becomes of the answer; a row that got lost is put
back as the record has it. Whoever takes a mark back empties its cell.
"""

from __future__ import annotations

import operator
from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property

from steadyneedle.assessing.as_shown_safely import as_cell
from steadyneedle.assessing.hand_marker import ANOTHERS, SAME_PERSON, TYPED, Marker
from steadyneedle.assessing.hand_marks import (
    AGREED,
    CHANGED_SINCE,
    FIRST,
    MARKERS,
    REFUSED,
    SECOND,
    Given,
    Judged,
    MarkSteps,
    Sat,
    code_of,
    judged,
    plain_code,
    whose_is,
    whose_of,
    why_apart,
)
from steadyneedle.assessing.hand_tables import HandRow, HandTable, table_bytes, with_its_sign
from steadyneedle.assessing.marking_record import Entry, Typed, typed_anew
from steadyneedle.assessing.moved_marks import moved_by_hand, moves_between
from steadyneedle.assessing.results_folder import BY_HAND, ResultsFolder
from steadyneedle.assessing.same_answer import same_answer
from steadyneedle.foundation.text_files import plain_signs

NOTE = "note"
MARKS_OF_TWO = ("first", "first_by", "first_why", "second", "second_by", "second_why")
FILES = {FIRST: "{}.csv", SECOND: "{}-second-marker.csv", AGREED: "{}-agreed.csv"}
TO_AGREE = "The two markers differ in {count} of the answers: write into {file} what they agree on."
NOT_THERE = "This answer is not in the folder now, so its mark does not count."


def question_stem(paper: str, attempt: int, number: int) -> str:
    """What the files of a question are called.

    >>> question_stem("units-and-bands", 1, 20), question_stem("units-and-bands", 2, 20)
    ('units-and-bands-question-20', 'units-and-bands-attempt-2-question-20')
    """
    return f"{paper}{f'-attempt-{attempt}' if attempt > 1 else ''}-question-{number}"


class HandQuestion:
    """One question of one attempt, and what persons say its answers are worth.

    Parameters
    ----------
    out : ResultsFolder
        Where the files lie.
    secret : bytes
        The cohort's.
    asked : tuple of str, int and int
        Paper, attempt and number of the question.
    scale : MarkSteps
        What it is worth.
    issued : iterable of str
        Candidates who got the paper.
    before : mapping
        (table, row) to what had been typed by the last marking.

    Raises
    ------
    ResultsError
        A file cannot be read; the sentence says where it is wrong.
    """

    def __init__(
        self, out: ResultsFolder, secret: bytes, asked: tuple[str, int, int], scale: MarkSteps,
        issued: Mapping[str, str], before: Mapping[tuple[str, str], Typed],
    ) -> None:  # fmt: skip
        self.stem = question_stem(*asked)
        self.scale = scale
        self.answers: dict[str, str] = {}
        self._needed: dict[str, float] = {}
        self._beside: dict[str, str] = {}
        self._out, self._secret, self._number = out, secret, asked[2]
        self._asked, self._issued = asked, issued
        self._before = {
            role: {row: cells for (table, row), cells in before.items() if table == f"{self.stem} {role}"}
            for role in MARKERS
        }
        first = self._read(FIRST, out.between)
        self._markers = {FIRST: first, **{role: self._read(role, first.table.between) for role in MARKERS[1:]}}
        self._markers[SECOND].refuse_those_of(first)
        self._markers[AGREED].refuse_outside(first, self._markers[SECOND])

    @cached_property
    def _whose(self) -> dict[str, str]:
        """First half of a code to the candidate; made where a code was typed, for a cohort has many."""
        paper, attempt, number = self._asked
        return {whose_of(self._secret, (one, paper, attempt), number): one for one in self._issued}

    def judge(self, sat: Sat, answer: str, shown: str = "", needed: float = 0, beside: str = "") -> tuple[str, Judged]:
        """The code of an answer, and what its markers come to; the answer will be in the files.

        Parameters
        ----------
        sat : tuple of str, str and int
            Candidate, paper and attempt.
        answer : str
            As typed.
        shown : str
            What markers read instead; empty where they read what was typed.
        needed : float
            Marks below which a person's mark holds the whole result back; 0 where none does.
        beside : str
            What a marker must know of the answer, for its note; often nothing.
        """
        code = code_of(self._secret, sat, self._number, answer)
        self.answers[code], self._needed[code], self._beside[code] = shown or answer, needed, beside
        for marker in self._markers.values():
            self._refuse_anothers(marker, code, answer)
        refused = ""
        for marker in self._markers.values():
            why = marker.why_refused(code)
            if why:
                refused = REFUSED.format(file=marker.name, why=why.removesuffix("."))
            if why and why != SAME_PERSON:
                return code, Judged(None, refused)
        found = judged(
            {role: marker.marks.get(code) for role, marker in self._markers.items()}, self.scale,
            FILES[AGREED].format(self.stem), needed,
        )  # fmt: skip
        if found == Judged() and any(marker.earlier(code) for marker in self._markers.values()):
            return code, Judged(None, CHANGED_SINCE)
        return code, replace(found, held=found.held or refused)

    def lay(self) -> list[str]:
        """Write the files with all answers of this marking; what is to be said, a sentence for each row refused."""
        differ = [code for code in self.answers if self._differ(code)]
        open_still = sum(code not in self._markers[AGREED].marks for code in differ)
        said = [TO_AGREE.format(count=open_still, file=self._markers[AGREED].name)] if open_still else []
        for role, marker in self._markers.items():
            said += marker.said
            if role == AGREED and not differ and not marker.rows:
                continue
            columns, rows = self._laid(role, marker, differ)
            laid = ([self._cell(marker, row, column) for column in columns] for row in rows)
            if marker.read and marker.table.as_safe and columns == marker.table.columns:
                there = ([row.cells.get(column, "") for column in columns] for row in marker.table.rows)
                if len(rows) == len(marker.table.rows) and all(map(operator.eq, laid, there)):
                    continue
                laid = ([self._cell(marker, row, column) for column in columns] for row in rows)
            data = table_bytes(columns, laid, marker.table.between)
            left = self._out.lay(f"{BY_HAND}/{marker.name}", data, marker.read)
            said += [left] if left else []
        return said

    def moved(self) -> list[str]:
        """What is said of marks that are others than at the last marking, file by file."""
        said = []
        for role, marker in self._markers.items():
            now = {code: _as_typed(one) for code, one in marker.marks.items()}
            before = {code: cells for code, cells in self._before[role].items() if not marker.why_refused(code)}
            of = {code: self._whose.get(whose_is(code), "") for code in before}
            moves = moves_between(before, now, {code: candidate for code, candidate in of.items() if candidate})
            said += moved_by_hand(f"{BY_HAND}/{marker.name}", moves)
        return said

    def refused(self) -> int:
        """How many rows could not be taken."""
        return sum(len(marker.refused) for marker in self._markers.values())

    def changes(self) -> list[Entry]:
        """What was typed, and what was taken back, since the last marking."""
        found = []
        for role, marker in self._markers.items():
            now = {code: _as_typed(one) for code, one in marker.marks.items()}
            about = {code: {"candidate": self._whose.get(whose_is(code), "")} for code in {*now, *self._before[role]}}
            found += typed_anew(f"{self.stem} {role}", self._before[role], now, about)
        return found

    def _read(self, role: str, between: str) -> Marker:
        name = FILES[role].format(self.stem)
        columns = ["code", "answer", *(MARKS_OF_TWO if role == AGREED else ()), *TYPED, NOTE]
        marker = Marker.of_file(name, self._out.typed(f"{BY_HAND}/{name}"), HandTable(columns, between=between))
        marker.take_all(self._before[role], lambda code: whose_is(code) in self._whose, self.scale)
        return marker

    def _refuse_anothers(self, marker: Marker, code: str, answer: str) -> None:
        """Refuse a marked row in which the answer of another code stands."""
        row = marker.rows.get(code)
        if row is None or row.number in marker.refused or code not in marker.marks:
            return
        there = row.cells.get("answer", "")
        laid = (self._laid_answer(code), plain_signs(answer))
        if there and not any(same_answer(there, one) for one in laid):
            marker.refuse_mark(code, ANOTHERS)
            marker.anothers.add(row.number)

    def _laid_answer(self, code: str) -> str:
        return as_cell(plain_signs(self.answers[code]).strip()).strip()

    def _differ(self, code: str) -> bool:
        first, second = (self._markers[role].marks.get(code) for role in (FIRST, SECOND))
        if first is None or second is None:
            return False
        return bool(why_apart(first, second, self.scale, self._needed[code]))

    def _laid(self, role: str, marker: Marker, differ: list[str]) -> tuple[list[str], list[HandRow]]:
        """Columns and rows of a file: what is to be marked, and whatever else was typed, in the order of the codes."""
        ours = ["code", "answer", *(MARKS_OF_TWO if role == AGREED else ()), *TYPED, NOTE]
        columns = [*ours, *(one for one in marker.table.columns if one not in ours)]
        wanted = differ if role == AGREED else [*self.answers]
        rows = [marker.rows.get(code, HandRow(0, {"code": code})) for code in wanted]
        kept = {row.number for row in rows}
        rows += [row for row in marker.table.rows if row.number not in kept and self._stays(marker, row, ours)]
        return columns, sorted(rows, key=lambda row: (plain_code(row.cells["code"]), row.number))

    def _stays(self, marker: Marker, row: HandRow, ours: list[str]) -> bool:
        """Whether somebody typed something into a row that is not laid anew."""
        own = any(row.typed(column) for column in row.cells if column in TYPED or column not in ours)
        first = marker.rows.get(plain_code(row.cells["code"]))
        return own and (first is None or first is row or row.number in marker.refused)

    def _cell(self, marker: Marker, row: HandRow, column: str) -> str:
        code = plain_code(row.cells["code"])
        if column == "code" and (code in self.answers or code in marker.rows):
            return code
        if column == "answer" and code in self.answers and row.number not in marker.anothers:
            return self._laid_answer(code)
        if column in MARKS_OF_TWO:
            return as_cell(self._of_two(code, column, marker.table.between))
        if column == NOTE:
            return as_cell(self._note(marker, row, code))
        return row.cells.get(column, "")

    def _of_two(self, code: str, column: str, between: str) -> str:
        """What first or second marker said of an answer, for a table with such signs between its columns."""
        role, _, part = column.partition("_")
        mark = self._markers[role].marks.get(code)
        if mark is None:
            return ""
        return {"": with_its_sign(mark.words, between), "by": mark.by, "why": mark.why}[part]

    def _note(self, marker: Marker, row: HandRow, code: str) -> str:
        if row.number in marker.refused:
            why = marker.refused[row.number]
            return why[:1].upper() + why[1:]
        if code not in self.answers:
            return NOT_THERE
        if code not in marker.marks and marker.earlier(code):
            return "The answer changed after it was marked. Mark this one."
        return self._beside[code]


def _as_typed(mark: Given) -> Typed:
    return {"mark": mark.words, "marked_by": mark.by, "why": mark.why}
