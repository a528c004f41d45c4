"""What persons mark in a cohort: the answers that wait, question by question, and the marks that come back."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

from steadyneedle.assessing.as_shown_safely import plain_name
from steadyneedle.assessing.hand_files import HandQuestion, question_stem
from steadyneedle.assessing.hand_marks import MarkSteps, code_of
from steadyneedle.assessing.hand_page import Shown, page_of
from steadyneedle.assessing.job_marking import in_sentences
from steadyneedle.assessing.keyed_items import as_answered, in_words_of_today
from steadyneedle.assessing.marking import FOR_A_HUMAN, MENDED, WAITS, AnswerMark, ItemMark, PaperMark
from steadyneedle.assessing.marking_record import Entry, Typed
from steadyneedle.assessing.paper_file import Item, Paper
from steadyneedle.assessing.paper_plan import JOB, Planned
from steadyneedle.assessing.results_folder import BY_HAND, ResultsFolder
from steadyneedle.assessing.secret import CohortKey

OURS = re.compile(r"[a-z0-9-]+-question-[0-9]+(-second-marker|-agreed)?\.(csv|html)|[.~].*")
"""Files that are laid, and what a spreadsheet lays beside an open one."""
NOT_OURS = "{} in by-hand is not read. Save it as CSV, under the name of the file that was laid."


class ByHand:
    """All questions of a marking that persons mark.

    Parameters
    ----------
    out : ResultsFolder
        Where their files lie.
    key : CohortKey
        The key that made the papers.
    before : mapping
        (table, row) to what had been typed by the last marking.
    """

    def __init__(self, out: ResultsFolder, key: CohortKey, before: Mapping[tuple[str, str], Typed]) -> None:
        self._out, self._key, self._before = out, key, before
        self._typed = {(table.rpartition(" ")[0], code) for table, code in before}
        self._stems = {stem for stem, _ in self._typed}
        self._questions: dict[str, HandQuestion] = {}
        self._planned: dict[str, Planned] = {}
        self._titles: dict[str, str] = {}
        self._items: dict[str, Item] = {}
        self._shown: dict[str, dict[str, Shown]] = defaultdict(dict)

    def marked(self, paper: PaperMark, questions: Sequence[Planned]) -> PaperMark:
        """A paper with the marks that persons gave.

        Parameters
        ----------
        paper : PaperMark
            As the workbook marks it.
        questions : sequence of Planned
            As they were issued.

        Raises
        ------
        ResultsError
            A file of marks cannot be read.
        """
        planned = {one.number: one for one in questions}
        left = [self._left_to_persons(paper.paper, one) for one in paper.items]
        items = [self._one(paper.paper, one, planned) if one.waiting else one for one in left]
        return replace(paper, items=tuple(items))

    def _left_to_persons(self, paper: Paper, one: ItemMark) -> ItemMark:
        """An answer that a person marked, for no workbook could, stays with persons where one of today can."""
        stem = question_stem(paper.paper, paper.attempt, one.item.number)
        if one.waiting or stem not in self._stems:
            return one
        sat = (paper.candidate, paper.paper, paper.attempt)
        if (stem, code_of(self._key.secret, sat, one.item.number, one.answer)) not in self._typed:
            return one
        return replace(one, worth=AnswerMark(WAITS, (FOR_A_HUMAN,), safe=one.worth.safe))

    def settle(self, paper: PaperMark, as_asked: Mapping[int, tuple[str, ...]]) -> None:
        """Take note of marks that were changed after all, for what has one waits no more, and of what was asked.

        Parameters
        ----------
        paper : PaperMark
            With the marks that count.
        as_asked : mapping
            Question to its lines as it was asked, where today's workbook has another and an earlier notebook shows it.
        """
        whose = paper.paper
        sat = (whose.candidate, whose.paper, whose.attempt)
        for one in paper.items:
            number, changed = one.item.number, one.given is not None and one.given.after_all
            shown = self._shown.get(question_stem(whose.paper, whose.attempt, number), {})
            if not shown or not (changed or number in as_asked):
                continue
            code = code_of(self._key.secret, sat, number, one.answer)
            if code in shown:
                there = shown[code]
                settled = replace(there.one, given=one.given, held=one.held) if changed else there.one
                shown[code] = replace(there, one=settled, asked=as_asked.get(number, ()))

    def open(self) -> dict[str, int]:
        """How many answers of each question wait still; questions of which none does are left out."""
        counted = {stem: sum(one.one.waiting for one in shown.values()) for stem, shown in sorted(self._shown.items())}
        return {stem: count for stem, count in counted.items() if count}

    def lay(self) -> list[str]:
        """Write all files; what is to be said of them."""
        said = []
        for stem, question in sorted(self._questions.items()):
            said += question.lay()
            answers = [shown for _, shown in sorted(self._shown[stem].items())]
            page = page_of(self._titles[stem], stem, question.scale, self._planned[stem], answers)
            self._out.write(f"{BY_HAND}/{stem}.html", page)
        strange = [name for name in self._out.names(BY_HAND) if not OURS.fullmatch(name)]
        return said + [NOT_OURS.format(plain_name(name)) for name in strange]

    def moved(self) -> list[str]:
        """What is said of marks that are others than at the last marking."""
        return [sentence for _, question in sorted(self._questions.items()) for sentence in question.moved()]

    def refused(self) -> int:
        """How many rows could not be taken."""
        return sum(question.refused() for question in self._questions.values())

    def changes(self) -> list[Entry]:
        """What was typed since the last marking."""
        return [entry for _, question in sorted(self._questions.items()) for entry in question.changes()]

    def _one(self, paper: Paper, one: ItemMark, planned: Mapping[int, Planned]) -> ItemMark:
        number, sat = one.item.number, (paper.candidate, paper.paper, paper.attempt)
        stem = question_stem(paper.paper, paper.attempt, number)
        plan = planned[number]
        if stem not in self._questions:
            scale = MarkSteps(one.item.weight, 0.5 if plan.in_halves else 1, one.item.critical)
            edition = self._key.edition(paper.paper, paper.attempt)
            issued = edition.papers if edition else {}
            asked = (paper.paper, paper.attempt, number)
            self._questions[stem] = HandQuestion(self._out, self._key.secret, asked, scale, issued, self._before)
            self._planned[stem], self._titles[stem] = plan, paper.title
        shown = _in_words(one)
        beside = " ".join(one.worth.lines) if one.played_otherwise else ""
        code, found = self._questions[stem].judge(sat, one.answer, shown, one.holds_below, beside)
        judged = replace(one, given=found.given, held=found.held)
        alike = self._items.setdefault(stem, one.item)  # kept once where everybody is asked the same
        kept = replace(judged, answer=shown, item=alike if alike == one.item else one.item)
        self._shown[stem][code] = Shown(code, kept, f"{paper.stem}.ipynb" if one.worth.outcome == MENDED else "")
        return judged


def _in_words(one: ItemMark) -> str:
    """An answer as a marker reads it: a path in sentences, the words of what was chosen, else as typed."""
    if one.item.kind == JOB:
        return in_sentences(one.answer)
    return (in_words_of_today if one.another else as_answered)(one.item.kind, one.item.options, one.answer)
