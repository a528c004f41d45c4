"""What a lesson's cells call: one object a lesson, one short call a cell."""

from __future__ import annotations

import importlib
import math
import time
from html import escape
from typing import Any, TypeVar

from IPython.display import display

import steadyneedle
from steadyneedle.bench.sheets import SheetError, Sheets, load_sheets
from steadyneedle.foundation import places
from steadyneedle.questions.exercise import ChoiceExercise, Exercise, QuantityExercise
from steadyneedle.questions.plans import MODULES, Plan, plan_of
from steadyneedle.teaching.frame.form import FormSession
from steadyneedle.teaching.frame.forms import show_form
from steadyneedle.teaching.frame.logs import LogPanel, show_log
from steadyneedle.teaching.frame.panel import Panel
from steadyneedle.teaching.frame.played import BenchPanel, show_bench
from steadyneedle.teaching.frame.widgets import show_panel, show_top
from steadyneedle.teaching.learner.practice import PracticeSession, PredictionSession
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.panels.offered import Live, Makers, Rows, Table

Thing = TypeVar("Thing")

RUN_ALL_SECONDS = 60.0


class Lesson:
    """One lesson in front of one learner."""

    def __init__(self, number: str) -> None:
        self.plan = plan_of(number)
        self._progress = Progress()
        self._preferences = self._progress.preferences()
        self._opened = time.monotonic()

    # words and tables -------------------------------------------------------------------------------

    def begin(self) -> None:
        """The objectives, numbered, and the version of the workbook in use."""
        lines = [f"{n}. {objective}" for n, objective in enumerate(self.plan.objectives, 1)]
        items = "".join(f"<li>{escape(objective)}</li>" for objective in self.plan.objectives)
        note = f"Time: {self.plan.minutes} minutes. Steady Needle {steadyneedle.__version__}."
        head = "After this lesson you can"
        _show_text(f"<p>{head}</p><ol>{items}</ol><p>{note}</p>", "\n".join([head, *lines, note]))

    def table(self, name: str) -> None:
        """A table of the lesson, by name."""
        head, rows = _one("table", name, self._tables())()
        _show_table(head, rows)

    def note(self, name: str) -> None:
        """Sentences whose numbers are computed, by name."""
        lines = _one("note", name, self._module().notes(self._preferences, self._sheets))()
        _show_text("".join(f"<p>{escape(line)}</p>" for line in lines), "\n".join(lines))

    def where_am_i(self) -> None:
        """Objectives met so far in every lesson, and what to practise next."""
        head = ("lesson", "objective", "right so far", "practise next")
        _show_table(head, [row for number in MODULES for row in self._standing(plan_of(number))])
        if time.monotonic() - self._opened < RUN_ALL_SECONDS:  # all cells were run, not this one alone
            show_top()
        self._opened = -math.inf

    def _standing(self, plan: Plan) -> Rows:
        right = self._progress.right(plan.number)
        rows: Rows = []
        for n, objective in enumerate(plan.objectives, 1):
            asked = list(plan.assessing(n))
            done = [one for one in asked if one.name in right]
            left = [f"{1 + plan.exercises.index(one)}: {one.title}" for one in asked if one.name not in right]
            count = "met" if asked and not left else f"{len(done)} of {len(asked)}"
            rows.append((plan.number, f"{n}. {objective}", count, left[0] if left else "nothing: move on"))
        return rows

    # forms ------------------------------------------------------------------------------------------

    def form(self, name: str) -> None:
        """A form of the lesson, by name."""
        show_form(_one("form", name, self._forms())(), self._progress.trouble())

    def exercise(self, name: str) -> None:
        """One exercise with its numbers, as far as the learner has come."""
        exercise = self.plan.exercise(name)
        number = 1 + self.plan.exercises.index(exercise)
        self._practise(
            exercise, ("lessons", self.plan.number, "exercises", name), f"Exercise {number}. {exercise.title}"
        )

    def warm_up(self) -> None:
        """Three questions from earlier lessons, with new numbers."""
        for n, (number, name) in enumerate(self.plan.warm_up, 1):
            exercise = plan_of(number).exercise(name)
            keys = ("lessons", self.plan.number, "warm-up", f"{n} {name}")
            self._practise(exercise, keys, f"Warm-up {n}. {exercise.title} (lesson {number})")

    def _practise(self, exercise: Exercise, keys: tuple[str, ...], heading: str) -> None:
        show_form(PracticeSession(exercise, self._progress, keys, heading), self._progress.trouble())

    def worked(self, name: str) -> None:
        """An exercise worked through, with numbers of its own."""
        exercise = self.plan.exercise(name)
        givens = exercise.givens("worked example", self.plan.number)
        steps, question = exercise.steps(givens, self._preferences), exercise.question(givens, self._preferences)
        lines = [*question, *(f"{n}. {step}" for n, step in enumerate(steps, 1))]
        asked = "".join(f"<p>{escape(line)}</p>" for line in question)
        items = "".join(f"<li>{escape(step)}</li>" for step in steps)
        _show_text(f"{asked}<ol>{items}</ol>", "\n".join(lines))

    # panels -----------------------------------------------------------------------------------------

    def panel(self, name: str) -> None:
        """A live panel: a figure with its controls, a bench, or a file picker."""
        show(self.make_panel(name), self._preferences.mark)

    def predict(self, name: str) -> None:
        """A prediction whose answer stands in the text or table below it."""
        keys = ("lessons", self.plan.number, "predictions", name)
        show_form(PredictionSession(self.plan.prediction(name), self._progress, keys), self._progress.trouble())

    def explore(self, name: str) -> None:
        """A prediction, and the panel that it uncovers."""
        keys = ("lessons", self.plan.number, "predictions", name)
        session = PredictionSession(self.plan.prediction(name), self._progress, keys)
        covered = "Record your prediction above to uncover this panel."

        def uncover() -> None:
            widget.cover = "" if session.recorded else covered

        show_form(session, self._progress.trouble(), after=uncover)
        panel = self.make_panel(name)
        if not isinstance(panel, Panel):
            raise ValueError(f"'{name}' cannot be covered: predict first, then show it with panel.")
        widget = show_panel(panel, self._preferences.mark, "" if session.recorded else covered)

    def make_panel(self, name: str) -> Live:
        """The definition of a panel, in this learner's preferences."""
        return _one("panel", name, self._panels())()

    def panel_names(self) -> tuple[str, ...]:
        """Names of the lesson's panels."""
        return tuple(self._panels())

    def _sheets(self) -> Sheets:
        """The sheets in use; the example, with a sentence, where the instructor's cannot be used."""
        try:
            sheets = load_sheets(places.sheets())
            if any(one.has_band for one in sheets.values()):
                return sheets
            trouble = "None of the sheets gives both limits of an intermediate pressure."
        except SheetError as error:
            trouble = error.brief
        words = f"{trouble} The invented example stands here instead."
        _show_text(f"<p><strong>{escape(words)}</strong></p>", words)
        return load_sheets(places.datasets() / "sheets")

    def _panels(self) -> Makers[Live]:
        panels: Makers[Live] = self._module().panels(self._preferences, self._sheets)
        return panels

    def _forms(self) -> Makers[FormSession]:
        make = getattr(self._module(), "forms", None)  # most lessons have none but their exercises
        forms: Makers[FormSession] = make(self._progress, self._sheets) if make else {}
        return forms

    def _tables(self) -> Makers[Table]:
        tables: Makers[Table] = self._module().tables(self._preferences, self._sheets)
        return tables

    def _module(self) -> Any:
        """The lesson's own module of panels, and no other's."""
        return importlib.import_module(f"steadyneedle.teaching.panels.{MODULES[self.plan.number]}")

    # for the instructor -----------------------------------------------------------------------------

    def answers(self) -> None:
        """Every exercise with its first numbers: question, answer, tolerance, known mistakes."""
        rows: Rows = []
        for n, one in enumerate(self.plan.exercises, 1):
            givens = one.givens("lessons", self.plan.number, "exercises", one.name, 0)
            right = one.solve(givens)
            if isinstance(one, QuantityExercise):
                right = self._preferences.format(right)
            elif isinstance(one, ChoiceExercise):
                right = one.options(givens)[right]
            mistakes = "; ".join(mistake.name for mistake in one.mistakes)
            rows.append((f"{n}. {one.title}", " ".join(one.question(givens, self._preferences)), str(right), mistakes))
        _show_table(("exercise", "first numbers", "answer", "known mistakes it names"), rows)


def open_lesson(number: str) -> Lesson:
    """The lesson with that number, for its cells to call."""
    return Lesson(number)


def _one(what: str, name: str, there: dict[str, Thing]) -> Thing:
    """One of the named; ValueError lists them."""
    if name not in there:
        raise ValueError(f"There is no {what} '{name}' here; there are {', '.join(there) or 'none'}.")
    return there[name]


def show(panel: Live, mark: str) -> None:
    """Show something live, each kind by its own widget."""
    if isinstance(panel, BenchPanel):
        show_bench(panel)
    elif isinstance(panel, LogPanel):
        show_log(panel)
    else:
        show_panel(panel, mark)


def _show_table(head: tuple[str, ...], rows: Rows) -> None:
    import pandas

    frame = pandas.DataFrame(rows, columns=list(head))
    with pandas.option_context("display.max_colwidth", None):
        html = frame.to_html(index=False, border=0).replace("<td>", '<td style="text-align:left">')
        html = html.replace("<th>", '<th scope="col" style="text-align:left">')
        _show_text(html, frame.to_string(index=False, justify="left"))


def _show_text(html: str, plain: str) -> None:
    display({"text/html": html, "text/plain": plain}, raw=True)
