"""Sitting a paper: the page of one candidate, on a server that holds nothing else, and what its cells call.

`sit` shows one paper; `open_paper` is what the page's first cell calls. The page is made afresh from the paper's
data, so that nothing of the candidate's file runs; answers go into a file beside it.
"""

from __future__ import annotations

import contextlib
import datetime
import gc
import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.paper_file import UNITS, Item, Paper, picture_of
from steadyneedle.assessing.paper_plan import JOB
from steadyneedle.assessing.paper_reading import paper_of, read_paper
from steadyneedle.foundation import notebooks, places
from steadyneedle.foundation.store import StoreError
from steadyneedle.physics.stages import FirstStage
from steadyneedle.sitting_desk import (
    command,
    line_for,
    refuse_another_name,
    refuse_what_loses_answers,
    where_answers_are,
)

if TYPE_CHECKING:
    from steadyneedle.teaching.frame.forms import FormWidget
    from steadyneedle.teaching.frame.publishing import FrameWidget

Shown = TypeVar("Shown", bound="FrameWidget")
DESK = "STEADYNEEDLE_DESK"
"""Holds the folder where the paper lies, and where answers are kept."""
OPEN = "from steadyneedle.sitting import open_paper\n\npaper = open_paper()"
WARM = "from steadyneedle.sitting import warm; warm(); del warm"
HOW = (
    f"What you type is saved as you type it. {UNITS} The words before its field say so, too. "
    "A question marked *critical* must be right, whatever the rest adds up to.{} *Hand in* stands at the end."
)
CRITICAL_JOB = " A critical job need not be right: it says itself what holds the whole result back."
SAVED = "Saved"
UNHEARD = (
    "{}: nothing answers. Wait a moment. If this stays, {}close this page; everything up to “Saved” will be there "
    "when you type in a terminal: {}"
)
NOT_HERE = "A paper opens with a command. Close this file, then type in a terminal: {} sit {}"


# what the command does --------------------------------------------------------------------------


def sit(path: Path, tell: Callable[[str], None], *, browser: bool = True, port: int | None = None) -> int:
    """Show one paper until its page is closed from the terminal.

    Parameters
    ----------
    path : Path
        The paper, a notebook as `papers` writes it.
    tell : callable
        Is given what to say, and the address once the page can be opened.
    browser : bool
        Whether to open a browser.
    port : int
        Port to listen on; left out, a free one.

    Returns
    -------
    int
        Exit status, as `running.open_lab`.

    Raises
    ------
    PaperError
        The file is no paper, or holds code that no paper has.
    SittingError
        Answers cannot be kept beside it.
    LaunchError
        JupyterLab does not start, or it ends by itself.
    """
    from steadyneedle.lesson_view import running

    path = path.resolve() if not path.is_symlink() else path
    refuse_another_name(path)
    paper = read_paper(path)
    answers = Answers(paper, path.parent)
    refuse_what_loses_answers(path, answers)
    name = f"{paper.stem}.ipynb"

    def lay(room: Path) -> Path:
        folder = room / notebooks.PAPER
        folder.mkdir(mode=0o700)
        (folder / name).write_text(notebooks.as_text(page_of(paper, line_for(path))), encoding="utf-8")
        return folder

    tell(where_answers_are(answers))
    tell("Leave this window open while you work; press Ctrl-C here when you have handed in. The paper is at")
    return running.open_lab(
        lay, name, tell, browser=browser, port=port, first_lines=(WARM,), variables={DESK: str(path.parent)}
    )  # fmt: skip


def page_of(paper: Paper, line: str = "") -> dict[str, Any]:
    """The notebook of the page: what the paper asks, and a form below each question.

    Parameters
    ----------
    paper : Paper
        The paper.
    line : str
        What is typed to open it again.

    Returns
    -------
    dict
        A notebook as plain data.
    """
    attempt = f", attempt {paper.attempt}" if paper.attempt > 1 else ""
    head = f"# {paper.title}\n\n**Candidate {paper.candidate}**{attempt}, {_counted(len(paper.items), 'question')}, "
    how = HOW.format(CRITICAL_JOB if any(one.critical and one.kind == JOB for one in paper.items) else "")
    how = " ".join(filter(None, (paper.pass_mark, how, invented_in(paper))))
    cells = [
        _cell("markdown", "head", f"{head}{_counted(paper.minutes, 'minute')}\n\n{how}"),
        _cell("code", "open", OPEN),
    ]
    for one in paper.items:
        cells.append(_cell("markdown", f"question-{one.number}", _asked(one)))
        cells.append(_cell("code", f"answer-{one.number}", f"paper.answer({one.number})"))
    cells += [_cell("markdown", "end", "## Hand in"), _cell("code", "hand-in", "paper.hand_in()")]
    mark = {"lesson": paper.stem, "page": notebooks.PAPER, "paper": paper.as_data(), "line": line}
    return {"cells": cells, "metadata": {notebooks.MARK: mark}, "nbformat": 4, "nbformat_minor": 5}


def invented_in(paper: Paper) -> str:
    """What the first stages are that a paper names: nobody has met them in a shop; empty where it names none."""
    words = " ".join(line for one in paper.items for line in (*one.asked, *(said for _, said in one.options)))
    named = [one for one in FirstStage.names() if re.search(rf"\b{one}\b", words)]
    if len(named) < 2:
        return f"{named[0]} is a first stage of a regulator, invented for this course." if named else ""
    return f"{', '.join(named[:-1])} and {named[-1]} are first stages of regulators, invented for this course."


def _asked(item: Item) -> str:
    """A question; its options stand in its form."""
    critical = ", critical" if item.critical else ""
    lines = [f"## {item.number}. {item.title}", f"*{_counted(item.weight, 'mark')}{critical}*", *item.asked]
    return "\n\n".join([*lines, *picture_of(item)])


def _cell(kind: str, name: str, source: str) -> dict[str, Any]:
    cell = {"cell_type": kind, "id": name, "metadata": dict(notebooks.LOCKS), "source": source}
    return cell if kind == "markdown" else {**cell, "execution_count": None, "outputs": []}


def _counted(number: int, what: str) -> str:
    """A number of things.

    >>> _counted(1, "mark"), _counted(20, "question")
    ('1 mark', '20 questions')
    """
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


# what the page's cells call ---------------------------------------------------------------------


class Sitting:
    """One paper in front of one candidate; `line` is what is typed to open it again."""

    def __init__(self, paper: Paper, desk: Path, line: str = "") -> None:
        self._paper = paper
        self._line = line
        self._started = datetime.datetime.now().astimezone()
        self._trouble = ""
        self._shown: list[FrameWidget] = []
        self._forms: dict[int, FormWidget] = {}
        self._hand_in: FormWidget | None = None
        self._lost: set[int] = set()
        self._taken = False
        self._answers = Answers(paper, desk, self._saving_was_tried)
        with contextlib.suppress(StoreError):  # `failed` has the sentence
            self._started = self._answers.open(self._started)
            self._trouble = self._answers.trouble()

    def begin(self) -> None:
        """The clock."""
        from steadyneedle.teaching.frame.clock import Clock, show_clock

        self._hold(show_clock(Clock(self._started, self._paper.minutes), self._look))

    def answer(self, number: int) -> None:
        """The form of one question."""
        from steadyneedle.sitting_forms import session_of
        from steadyneedle.teaching.frame.forms import show_form

        session = session_of(self._paper.item(number), self._answers, self._follow)
        form = show_form(
            session, self._trouble or self._said(number), self._follow, lambda: self._said(number) or SAVED,
            self._unheard("Not saved yet", "copy what stands here, then "),
        )  # fmt: skip
        self._forms[number] = self._hold(form)
        self._lost = self._not_saved()

    def hand_in(self) -> None:
        """The form that hands in."""
        from steadyneedle.sitting_forms import HandInSession
        from steadyneedle.teaching.frame.forms import show_form

        session, said = HandInSession(self._answers), self._trouble or self._cannot_save()
        self._hand_in = self._hold(
            show_form(session, said, saying=self._cannot_save, unheard=self._unheard("NOT handed in yet"))
        )

    def close(self) -> None:
        """Close every widget shown: a newer page shows its own."""
        for widget in self._shown:
            widget.close()
        self._shown.clear()
        self._forms.clear()
        self._hand_in = None

    def _hold(self, widget: Shown) -> Shown:
        self._shown.append(widget)
        return widget

    def _unheard(self, what: str, first: str = "") -> str:
        return UNHEARD.format(what, first, self._line or f"{command()} sit and the name of the paper")

    def _cannot_save(self) -> str:
        """Why nothing at all can be saved; empty where it can."""
        return "" if self._answers.taken else self._answers.failed

    def _said(self, number: int) -> str:
        """What the form of a question says of saving."""
        if self._cannot_save() or number in self._answers.unsaved():
            return self._answers.failed
        return SAVED if self._answers.typed().get(number) or self._answers.beside(number) else ""

    def _not_saved(self) -> set[int]:
        return set(self._forms) if self._cannot_save() else set(self._answers.unsaved())

    def _saving_was_tried(self) -> None:
        """One save saves all that could not be saved before, and every form says so."""
        lost = self._not_saved()
        for number in (lost | self._lost) & set(self._forms):
            self._forms[number].say(self._said(number))
        if lost != self._lost and self._hand_in is not None:
            self._hand_in.say(self._cannot_save())
            self._hand_in.refresh()
        self._lost = lost
        if self._answers.taken and not self._taken:  # what was kept before is known from now on, and is shown
            for form in self._forms.values():
                form.refresh()
        self._taken = self._answers.taken

    def _look(self) -> str:
        """Try again what could not be saved, and see what lies there as handed in.

        Gives a sentence where a newer window has the paper.
        """
        if self._answers.unsaved() or not self._answers.taken:
            with contextlib.suppress(StoreError):
                self._answers.save()
        if self._hand_in is not None and self._hand_in.view["stands"] != self._answers.lies_there():
            self._hand_in.refresh()
        return self._answers.elsewhere()

    def _follow(self) -> None:
        """How many questions are answered, after each answer."""
        if self._hand_in is not None:
            self._hand_in.refresh()


_open: list[Sitting] = []


def open_paper() -> Sitting | None:
    """The paper that this server was started for; what an earlier page showed is closed.

    Elsewhere it says how to open a paper, and gives None.
    """
    from steadyneedle.teaching.frame.publishing import forget_layout

    desk, shown = os.environ.get(DESK), _paper_shown()
    if not desk or shown is None:
        print(NOT_HERE.format(command(), Path(os.environ.get("JPY_SESSION_NAME", "PAPER.ipynb")).name))
        return None
    while _open:
        _open.pop().close()
        forget_layout()
        gc.collect()
    sitting = Sitting(shown[0], Path(desk), shown[1])
    _open.append(sitting)
    sitting.begin()
    return sitting


def _paper_shown() -> tuple[Paper, str] | None:
    """The paper that the page beside this kernel shows, and the line that opens it again.

    Whatever becomes of the candidate's file, it goes on.
    """
    for page in places.work().glob("*.ipynb"):
        mark = notebooks.read(page)["metadata"].get(notebooks.MARK, {})
        if mark.get("page") == notebooks.PAPER and isinstance(mark.get("paper"), dict):
            paper = paper_of(mark["paper"])
            return (paper, str(mark.get("line", ""))) if paper else None
    return None


def warm() -> None:
    """Import what the page's cells need, while the page is still loading."""
    from steadyneedle import sitting_forms, sitting_job  # noqa: F401
    from steadyneedle.questions.plans import home_of
    from steadyneedle.teaching.frame import clock, forms  # noqa: F401
    from steadyneedle.teaching.frame.publishing import leave_no_stills

    leave_no_stills()
    home_of("")  # every module of questions
