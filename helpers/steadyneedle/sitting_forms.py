"""The forms of a paper: one for each kind of question, and the one that hands in. None of them knows what is right."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence

from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.handed_in import HandedIn
from steadyneedle.assessing.keyed_items import grouped
from steadyneedle.assessing.legible import legible, takes_bare
from steadyneedle.assessing.nothing_typed import typed_there
from steadyneedle.assessing.paper_file import Item
from steadyneedle.assessing.paper_plan import CHOICE, JOB, KEYED, ORDER, PLACE, QUANTITY, SEVERAL, TEXT, TRACE, VERDICT
from steadyneedle.foundation.store import StoreError
from steadyneedle.questions.preferences import WRITTEN
from steadyneedle.teaching.frame.form import (
    AreaField,
    Button,
    ChoiceField,
    Field,
    Form,
    FormSession,
    Message,
    TextField,
)
from steadyneedle.teaching.frame.keyed_fields import places, ticks, verdict_and_reason

LEFT = "left"
LEAVE_IT_OPEN = (
    "Leave this page open: nothing that you typed is lost in it. Mend this or call your assessor, then hand in again."
)
LINES = 6


def choice_field(item: Item, kept: str) -> Field:
    """One of several options, in the order that this paper prints."""
    return ChoiceField("answer", "Choose one", item.options, kept if kept in dict(item.options) else "")


def quantity_field(item: Item, kept: str) -> Field:
    """A number with its unit."""
    return TextField("answer", label_of(item), kept)


def label_of(item: Item) -> str:
    """What stands before the field of a number: whether its unit is typed too, which hangs on the question alone.

    >>> label_of(Item(1, "quantity", "mpa_to_psi", 1, "MPa to psi", {}, ("...",), unit="psi"))
    'Your answer with its unit (asked in psi)'
    """
    unit = WRITTEN.get(item.unit, item.unit)
    if not unit:
        return "Your answer, a number"
    return f"Your answer, in {unit}" if takes_bare(item) else f"Your answer with its unit (asked in {unit})"


def text_field(item: Item, kept: str) -> Field:
    """Some sentences, for a person to read."""
    longest = AreaField.longest
    return AreaField("answer", f"Your answer, {longest:,} characters at most", kept, LINES, longest)


def keyed_field(item: Item, kept: str) -> Field:
    """Several options to tick, a step for each place, or a verdict beside its reason."""
    options, reasons = grouped(item.options)
    if item.kind == SEVERAL:
        return ticks(options, kept)
    return places(options, kept) if item.kind == ORDER else verdict_and_reason(options, reasons, kept)


FIELDS: dict[str, Callable[[Item, str], Field]] = {
    CHOICE: choice_field, TRACE: choice_field, QUANTITY: quantity_field, TEXT: text_field,
    SEVERAL: keyed_field, ORDER: keyed_field, VERDICT: keyed_field, PLACE: quantity_field,
}  # fmt: skip
"""Kind of question -> the field that its answer goes into."""


class AnswerSession:
    """One question of a paper: its answer is kept as typed, and told only whether it can be read.

    `counted` is called when the question has become an answered one, or has become unanswered again.
    """

    def __init__(self, item: Item, answers: Answers, counted: Callable[[], None] = lambda: None) -> None:
        self._item = item
        self._answers = answers
        self._counted = counted
        self._drawn = 0
        self._in_page: str | None = None

    def view(self) -> Form:
        """The form as it stands; its field is drawn anew where the page does not have the text that is kept."""
        kept = self._answers.typed().get(self._item.number, "")
        self._drawn += self._in_page not in (None, kept)
        self._in_page = kept
        return Form(
            title=f"Answer {self._item.number}",
            fields=(FIELDS[self._item.kind](self._item, kept),),
            buttons=(),
            enter="",
            message=self._message(kept),
            version=self._drawn,
            leaving=LEFT,
        )

    def _message(self, kept: str) -> Message:
        found, about = legible(self._item, kept), (("answer", kept),)
        if found.can_be_read:
            return Message(found.words, (), about)
        return Message("It cannot be read yet", (found.words,), about)

    def typed(self, answers: dict[str, str]) -> None:
        """Keep what was typed, as typed."""
        text, before = answers.get("answer", ""), self._answers.typed().get(self._item.number, "")
        self._in_page = text
        self._answers.keep(self._item.number, text)
        if typed_there(text) != typed_there(before):
            self._counted()

    def act(self, button: str, answers: dict[str, str]) -> None:
        """The field was left: the view says how the answer reads."""


def session_of(item: Item, answers: Answers, counted: Callable[[], None] = lambda: None) -> FormSession:
    """The form below a question of any kind."""
    if item.kind == JOB:
        from steadyneedle.sitting_job import JobInPaper

        return JobInPaper(item, answers, counted)
    return AnswerSession(item, answers, counted)


class HandInSession:
    """Handing in: what is not answered, once more whether one means it, and the receipt."""

    def __init__(self, answers: Answers) -> None:
        self._answers = answers
        self._asked = False
        self._earlier = ""
        self._failed = ""
        self._unsaved = False
        self._made: HandedIn | None = None

    def view(self) -> Form:
        """The form as it stands."""
        paper, typed, made = self._answers.paper, self._answers.typed(), self._answers.handed_in()
        unsaved = self._answers.unsaved()
        return Form(
            title="Hand in",
            question=(_how_many(paper.items, typed, self._begun(typed)),),
            fields=(),
            buttons=(
                Button("ask", "Hand in", off=self._asked),
                Button("no", "No, go on answering", off=not self._asked, apart=True, mild=True),
                Button("yes", "Yes, hand in now", off=not self._asked),
            ),
            enter="ask",
            message=self._message(typed, made),
            note=f"NOT saved: {_listed(unsaved)}. What stands there says why." if unsaved else "",
            stands=self._answers.lies_there(),
        )

    def _begun(self, typed: dict[int, str]) -> list[int]:
        """The jobs that are begun and not ended; one whose first test is at its stop has no step yet."""
        jobs = [one for one in self._answers.paper.items if one.kind == JOB]
        unended = [one for one in jobs if not legible(one, typed.get(one.number, "")).can_be_read]
        return [one.number for one in jobs if one in unended or self._answers.beside(one.number).get("pending")]

    def _message(self, typed: dict[int, str], made: HandedIn | None) -> Message:
        if self._asked:
            return self._question(typed)
        return self._failure(made) if self._failed else self._state(typed, made)

    def typed(self, answers: dict[str, str]) -> None:
        """Nothing is typed here."""

    def act(self, button: str, answers: dict[str, str]) -> None:
        """Ask, hand in, or go on; where nothing could be handed in, the form says why."""
        asked, self._asked = self._asked, button == "ask"
        self._failed = ""
        if button == "yes" and asked:
            try:
                self._earlier = self._answers.hand_in(datetime.datetime.now().astimezone())[1]
            except (StoreError, ValueError) as error:
                self._failed, self._unsaved = str(error), bool(self._answers.failed)

    def _failure(self, before: HandedIn | None) -> Message:
        """Why nothing was handed in, and what to do."""
        lines = [self._failed]
        if self._unsaved and not self._answers.failed:
            lines = ["What you typed could not be saved then. Now it is saved: hand in again."]
        elif not self._answers.elsewhere():
            lines.append(LEAVE_IT_OPEN)
        if before:
            lines.append(f"What you handed in before stays as it was: {_when(before)}, receipt {before.receipt}.")
        return Message("NOT handed in", tuple(lines))

    def _question(self, typed: dict[int, str]) -> Message:
        """What is asked before anything is handed in."""
        items, begun = self._answers.paper.items, self._begun(typed)
        nothing = [one.number for one in items if not typed_there(typed.get(one.number, ""))]
        unanswered = [number for number in nothing if number not in begun]
        unread = [one for one in items if not legible(one, typed.get(one.number, "")).can_be_read]
        part = [one.number for one in unread if one.kind in KEYED]
        odd = [one.number for one in unread if one.kind not in (JOB, *KEYED)]
        told = {
            "Not answered": unanswered, "Begun, but the job is not ended": begun, "Answered only in part": part,
            "Answered, but it cannot be read": odd,
        }  # fmt: skip
        lines = [f"{what}: {_listed(numbers)}." for what, numbers in told.items() if numbers]
        if not unanswered and not unread and not begun:
            lines.insert(0, "Every question is answered.")
        lines += _what_it_costs([one for one in items if one.kind == JOB and one.number in {*unanswered, *begun}])
        lines.append("If you hand in now, you can still change an answer and hand in again.")
        return Message("Do you want to hand in now?", tuple(lines))

    def _state(self, typed: dict[int, str], made: HandedIn | None) -> Message:
        """What lies there as handed in."""
        name, before, self._made = self._answers.handed_in_path.name, self._made, made or self._made
        if made is None and before:
            gone = f"{name} lies no longer beside the paper as it was handed in (receipt {before.receipt})."
            return Message("NOT handed in any more", (gone, "Hand in again, or put that file back."))
        if made is None:
            return Message()
        lines = [
            f"{_when(made)}, receipt {made.receipt}. Write the receipt down.",
            f"Give your assessor the file that lies beside the paper: {name}",
        ]
        if self._earlier:
            lines.append(f"What you handed in before is kept as {self._earlier}.")
        given = {number: text for number, text in typed.items() if text.strip()}
        if given != made.answers:
            lines.append("You have changed an answer since, and it is not in that file. Hand in again to put it in.")
        return Message("Handed in", tuple(lines))


def _how_many(items: Sequence[Item], typed: Mapping[int, str], begun: list[int]) -> str:
    """How many questions are answered; a job that is only begun is none."""
    given = [one for one in items if typed_there(typed.get(one.number, "")) and one.number not in begun]
    more = f" Begun and not ended: the job of {_listed(begun)}." if begun else ""
    return f"Answered: {len(given)} of {len(items)} questions.{more}"


def _what_it_costs(jobs: list[Item]) -> list[str]:
    """What it costs not to end jobs."""
    critical = [one.number for one in jobs if one.critical]
    lines = ["A job that is not ended earns no mark."] if jobs else []
    if critical:
        lines.append(f"Critical: {_listed(critical)}. While it is not ended, it holds your whole result back.")
    return lines


def _when(made: HandedIn) -> str:
    """When something was handed in, in this machine's time."""
    try:
        at = datetime.datetime.fromisoformat(made.handed_in_at).astimezone()
    except ValueError:
        return "At an unknown time"
    return f"{at.day} {at.strftime('%B %Y')} at {at.strftime('%H:%M')}"


def _listed(numbers: list[int]) -> str:
    """Numbers of questions in a sentence.

    >>> _listed([3]), _listed([3, 7, 12]), _listed([2, 3, 5, 6, 7]), _listed([4, 5, 6])
    ('question 3', 'questions 3, 7 and 12', 'questions 2, 3 and 5 to 7', 'questions 4 to 6')
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = [one for run in runs for one in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))]
    listed = f"{', '.join(said[:-1])} and {said[-1]}" if len(said) > 1 else said[0]
    return f"question {listed}" if len(numbers) == 1 else f"questions {listed}"
