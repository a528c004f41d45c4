"""What a lesson's cells call: one object a lesson, one short call a cell."""

from __future__ import annotations

import gc
import importlib
from collections.abc import Callable
from functools import partial
from html import escape
from typing import Any, TypeVar

from IPython.display import display

import steadyneedle
from steadyneedle.bench.sheets import SheetError, Sheets, load_sheets
from steadyneedle.foundation import places
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Exercise, QuantityExercise
from steadyneedle.questions.keyed import KeyedExercise
from steadyneedle.questions.plans import MODULES, HiddenFault, Prediction, Series, plan_of
from steadyneedle.questions.what_counts import in_figures
from steadyneedle.teaching.frame.companion import show_companion
from steadyneedle.teaching.frame.form import FormSession, Picture
from steadyneedle.teaching.frame.forms import FormWidget, show_form
from steadyneedle.teaching.frame.grids import GridPanel, show_grid
from steadyneedle.teaching.frame.logs import LogPanel, show_log
from steadyneedle.teaching.frame.panel import DrawnPanel, Repainter
from steadyneedle.teaching.frame.played import BenchPanel, BenchWidget, PlayedBench, show_bench
from steadyneedle.teaching.frame.publishing import FrameWidget, as_it_stands, forget_layout
from steadyneedle.teaching.frame.standing import StandingWidget, show_standing
from steadyneedle.teaching.frame.widgets import show_panel
from steadyneedle.teaching.learner.acts import Acts
from steadyneedle.teaching.learner.bookmark import Bookmark
from steadyneedle.teaching.learner.hidden_fault import HiddenFaultSession
from steadyneedle.teaching.learner.overview import HEAD, overview
from steadyneedle.teaching.learner.own_table import OwnTable
from steadyneedle.teaching.learner.practice import PracticeSession
from steadyneedle.teaching.learner.predictions import PredictionSession, SeriesSession
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.learner.record import start_over
from steadyneedle.teaching.learner.serving import SITTING, serve
from steadyneedle.teaching.learner.show_of_hands import ShowOfHands
from steadyneedle.teaching.notes.markup import as_html, as_plain
from steadyneedle.teaching.panels.bands import leading_sheet
from steadyneedle.teaching.panels.bench import ShownBench
from steadyneedle.teaching.panels.offered import Live, Makers, Rows, Table

Thing = TypeVar("Thing")
Shown = TypeVar("Shown", bound=FrameWidget)
HOW_TO_RUN = "To bring this lesson to life choose Run, then Run All Cells."
"""Stands in the first cell's output for whoever opens a lesson elsewhere; the lesson view, which runs it, hides it."""


class Lesson:
    """One lesson in front of one learner."""

    def __init__(self, number: str) -> None:
        self.plan = plan_of(number)
        self._progress = Progress()
        self._preferences = self._progress.preferences()
        self._benches: dict[str, tuple[PlayedBench, BenchWidget]] = {}
        self._shown: list[FrameWidget] = []
        self._follow: list[Callable[[], None]] = []
        self._acts = Acts(self._progress, self._follow_up)

    def close(self) -> None:
        """Close every widget shown: the page has no more use for them, and the kernel can forget them."""
        for widget in self._shown:
            widget.close()
        self._shown.clear()
        self._follow.clear()

    def _hold(self, widget: Shown) -> Shown:
        self._shown.append(widget)
        widget.on_msg(self._acts.hear)
        return widget

    def _follow_up(self) -> None:
        """Show what follows from an answer or an act."""
        for follow in self._follow:
            follow()

    # words and tables -------------------------------------------------------------------------------

    def begin(self) -> None:
        """The objectives, numbered, and the version of the workbook in use."""
        lines = [f"{n}. {objective}" for n, objective in enumerate(self.plan.objectives, 1)]
        items = "".join(f"<li>{escape(objective)}</li>" for objective in self.plan.objectives)
        note = f"Time: {self.plan.minutes} minutes. Steady Needle {steadyneedle.__version__}."
        head = "After this lesson you can"
        how = f'<p class="sn-how-to-run">{HOW_TO_RUN}</p>'
        _show_text(f"{how}<p>{head}</p><ol>{items}</ol><p>{note}</p>", "\n".join([HOW_TO_RUN, head, *lines, note]))
        bookmark, hands = Bookmark(self._progress, self.plan.number), ShowOfHands(self._progress, self.plan)

        def keep(what: dict[str, Any]) -> None:
            if "hands" in what:
                hands.keep(what)
            else:
                bookmark.keep(what)

        self._hold(show_companion(keep))

    def table(self, name: str) -> None:
        """A table of the lesson, by name."""
        head, rows = _one("table", name, self._tables())()
        _show_table(head, rows)

    def note(self, name: str) -> None:
        """Sentences whose numbers are computed, by name."""
        lines = _one("note", name, self._said("on").notes(self._preferences, self._sheets))()
        _show_text(as_html(lines), as_plain(lines))

    def where_am_i(self) -> None:
        """What is done and met in every lesson, this one first, and what to practise next."""
        rows = partial(overview, self._progress, self.plan.number)
        widget = self._hold(StandingWidget(HEAD, rows, self._start_over))
        self._follow.append(widget.refresh)
        html, plain = _table(
            HEAD, [tuple(row[name] for name in ("lesson", "objective", "words", "next")) for row in rows()]
        )
        show_standing(widget, {"text/html": html, "text/plain": plain})

    def _start_over(self) -> None:
        """Fresh numbers and covered predictions; every form shows them at once."""
        start_over(self._progress, self.plan.number)
        for widget in self._shown:
            if isinstance(widget, FormWidget):
                widget.refresh()

    # forms ------------------------------------------------------------------------------------------

    def form(self, name: str) -> None:
        """A form of the lesson, by name."""
        self._ask(_one("form", name, self._forms())())

    def exercise(self, name: str) -> None:
        """One exercise with its numbers, as far as the learner has come."""
        exercise = self.plan.exercise(name)
        number = 1 + self.plan.exercises.index(exercise)
        self._practise(
            exercise, ("lessons", self.plan.number, "exercises", name), f"Exercise {number}. {exercise.title}"
        )

    def warm_up(self) -> None:
        """Questions from earlier lessons, with new numbers: first what is done but not met."""
        self._serve("warm-up", "Warm-up")

    def mixed_review(self) -> None:
        """What is done but not met yet, from this and all earlier lessons, mixed, with new numbers."""
        if not self._serve("review", "Review"):
            words = "Nothing to review now: do the exercises above, then open this page again."
            _show_text(f"<p>{words}</p>", words)

    def _serve(self, place: str, heading: str) -> int:
        served = serve(self._progress, self.plan.number, place)
        if len(served) > SITTING:
            words = f"{len(served)} questions: as many as you like today. What you leave comes back on another day."
            _show_text(f"<p>{words}</p>", words)
        for n, (number, exercise) in enumerate(served, 1):
            keys = ("lessons", self.plan.number, place, f"{n} {exercise.name}")
            self._practise(exercise, keys, f"{heading} {n}. {exercise.title} (lesson {number})")
        return len(served)

    def _practise(self, exercise: Exercise, keys: tuple[str, ...], heading: str) -> None:
        self._ask(PracticeSession(exercise, self._progress, keys, heading))

    def _ask(self, session: FormSession, after: Callable[[], None] | None = None) -> FormWidget:
        def answered() -> None:
            if after:
                after()
            self._follow_up()

        return self._hold(show_form(session, self._progress.trouble(), answered))

    def worked(self, name: str) -> None:
        """An exercise worked through, with numbers of its own."""
        exercise = self.plan.exercise(name)
        givens = exercise.givens("worked example", self.plan.number)
        steps, question = exercise.steps(givens, self._preferences), exercise.question(givens, self._preferences)
        lines = [*question, *(f"{n}. {step}" for n, step in enumerate(steps, 1))]
        head = f"A worked example: {exercise.title}"
        asked = "".join(f"<p>{escape(line)}</p>" for line in question)
        items = "".join(f"<li>{escape(step)}</li>" for step in steps)
        _show_text(f"<h3>{escape(head)}</h3>{asked}<ol>{items}</ol>", "\n".join([head, *lines]))

    # panels -----------------------------------------------------------------------------------------

    def panel(self, name: str) -> None:
        """A live panel: a figure with its controls, a bench, a file picker, or a form of the lesson."""
        if name in self._forms():
            self.form(name)
            return
        panel = self.make_panel(name)
        own = OwnTable(self._progress, ("lessons", self.plan.number, name.replace("_", " ")))
        widget = self._hold(show(panel, self._preferences.mark, own))
        if isinstance(panel, BenchPanel) and isinstance(widget, BenchWidget):
            self._benches[name] = panel.bench, widget

    def predict(self, name: str) -> None:
        """What a learner expects, asked before the cells tagged `after:NAME` are uncovered."""
        asked, keys = self.plan.prediction(name), ("lessons", self.plan.number, "predictions", name)
        if isinstance(asked, Prediction) and asked.by_sheet:
            asked = asked.by_sheet(leading_sheet(self._sheets()))
        if isinstance(asked, HiddenFault):
            self._ask_what_is_wrong(asked, keys)
        elif isinstance(asked, Series):
            self._ask(SeriesSession(asked, self._progress, keys, self._pictures(asked)))
        else:
            self._ask(PredictionSession(asked, self._progress, keys))

    def _pictures(self, series: Series) -> Callable[[int, bool], Picture]:
        """What a series asks about: its panel at each number, its answer covered until it was given."""
        panel = self.make_panel(series.panel)
        if not isinstance(panel, DrawnPanel):
            raise ValueError(f"'{series.panel}' has no picture for each number.")
        painter = Repainter(panel)

        def picture(number: int, answered: bool) -> Picture:
            values = {**panel.start(), panel.controls[0].name: number, **({} if answered else series.covered)}
            png, text = painter.paint(values)
            return Picture(png, text, panel.compute(**values))

        return picture

    def _ask_what_is_wrong(self, asked: HiddenFault, keys: tuple[str, ...]) -> None:
        """The form under a bench: the bench does not tell before it was answered."""
        if asked.panel not in self._benches:
            self.panel(asked.panel)
        bench, widget = self._benches[asked.panel]
        if not isinstance(bench, ShownBench):
            raise ValueError(f"'{asked.panel}' is no bench with something to hide.")
        session = HiddenFaultSession(asked, bench, self._progress, keys)
        form = self._ask(session, after=widget.refresh)
        bench.may_tell, bench.changed = lambda: session.answered, form.refresh

    def make_panel(self, name: str) -> Live:
        """The definition of a panel, in this learner's preferences."""
        return _one("panel", name, {**self._for_the_instructor(), **self._panels()})()

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

    def _for_the_instructor(self) -> Makers[Live]:
        make = getattr(self._module(), "for_the_instructor", None)  # panels that the instructor's page alone shows
        panels: Makers[Live] = make(self._preferences) if make else {}
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

    def _said(self, kind: str) -> Any:
        """The lesson's own module of sentences: `on` for everybody, `class` for the instructor."""
        return importlib.import_module(f"steadyneedle.teaching.notes.{kind}_{MODULES[self.plan.number]}")

    # for the instructor -----------------------------------------------------------------------------

    def class_cut(self) -> None:
        """What to set, ask and say with a class, minute by minute."""
        begin, rows = 0, []
        for minutes, *cells in self._said("class").cut(self._preferences, self._sheets):
            rows.append((f"{begin} to {begin + minutes}", *cells))
            begin += minutes
        whole = f"The whole lesson takes {self.plan.minutes} minutes. This cut takes {begin}."
        _show_text(f"<p>{whole}</p>", whole)
        _show_table(("minute", "set and show", "ask", "hands to expect", "say to each side"), rows)

    def class_questions(self) -> None:
        """The questions to ask a class, each with its answer."""
        _show_table(("ask", "answer"), self._said("class").questions(self._preferences, self._sheets))

    def answers(self) -> None:
        """Every exercise with its first numbers: question, answer, tolerance, known mistakes."""
        rows: Rows = []
        for n, one in enumerate(self.plan.exercises, 1):
            givens = one.givens("lessons", self.plan.number, "exercises", one.name, 0)
            right = one.solve(givens)
            if isinstance(one, QuantityExercise):
                exactly = one.limit or not one.figures
                names = one.names(givens)
                right = self._preferences.format(right) if exactly else in_figures(one, names.answer, self._preferences)
            elif isinstance(one, ChoiceExercise):
                right = one.options(givens)[right]
            elif isinstance(one, KeyedExercise):
                right = one.names(givens).right
            mistakes = "; ".join(mistake.name for mistake in one.mistakes)
            rows.append((f"{n}. {one.title}", " ".join(one.question(givens, self._preferences)), str(right), mistakes))
        _show_table(("exercise", "first numbers", "answer", "known mistakes it names"), rows)


_open: dict[str, Lesson] = {}


def open_lesson(number: str) -> Lesson:
    """The lesson with that number, for its cells to call. What an earlier run of it showed is closed."""
    if number in _open:
        _open.pop(number).close()
        if not _open:  # another lesson's widgets share the layout
            forget_layout()
        gc.collect()  # else a page loaded ten times has grown by a third before Python gets round to it
    _open[number] = Lesson(number)
    return _open[number]


def _one(what: str, name: str, there: dict[str, Thing]) -> Thing:
    """One of the named; ValueError lists them."""
    if name not in there:
        raise ValueError(f"There is no {what} '{name}' here; there are {', '.join(there) or 'none'}.")
    return there[name]


def show(panel: Live, mark: str, own: OwnTable | None = None) -> FrameWidget:
    """Show something live, each kind by its own widget; what is typed into a log goes to `own`."""
    if isinstance(panel, BenchPanel):
        return show_bench(panel)
    if isinstance(panel, LogPanel):
        return show_log(panel, own)
    if isinstance(panel, GridPanel):
        return show_grid(panel)
    return show_panel(panel, mark)


def _show_table(head: tuple[str, ...], rows: Rows) -> None:
    _show_text(*_table(head, rows))


def _table(head: tuple[str, ...], rows: Rows) -> tuple[str, str]:
    """A table as HTML and as plain text."""
    lines = [head, *([str(cell) for cell in row] for row in rows)]
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    plain = "\n".join("  ".join(map(str.ljust, line, widths)).rstrip() for line in lines)
    left = 'style="text-align:left"'
    top = "".join(f'<th scope="col" {left}>{escape(name)}</th>' for name in head)
    cells = ("".join(f"<td {left}>{escape(cell)}</td>" for cell in line) for line in lines[1:])
    body = "".join(f"<tr>{line}</tr>" for line in cells)
    return f"<table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>", plain


def _show_text(html: str, plain: str) -> None:
    display({"text/html": as_it_stands(html), "text/plain": plain}, raw=True)
