"""Sitting a paper: the page of one candidate, on a server that holds nothing else, and what its cells call.

`sit` shows one paper; `open_paper` is what the page's first cell calls. The page is made afresh from the paper's
data, so that nothing of the candidate's file runs; answers go into a file beside it.
"""

from __future__ import annotations

import datetime
import gc
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from steadyneedle.assessing.answers import Answers
from steadyneedle.assessing.paper_file import Item, Paper, paper_of, picture_of, read_paper
from steadyneedle.foundation import notebooks, places, user_state
from steadyneedle.foundation.store import StoreError

if TYPE_CHECKING:
    from steadyneedle.teaching.frame.publishing import FrameWidget

Shown = TypeVar("Shown", bound="FrameWidget")
DESK = "STEADYNEEDLE_DESK"
"""Holds the folder where the paper lies, and where answers are kept."""
OPEN = "from steadyneedle.sitting import open_paper\n\npaper = open_paper()"
WARM = "from steadyneedle.sitting import warm; warm(); del warm"
HOW = (
    "What you type is saved as you type it. Type a quantity with its unit, for example 1.5 bar or 1,5 bar. "
    "A question marked *critical* must be right, whatever the rest adds up to. *Hand in* stands at the end."
)
NOT_HERE = "A paper opens with a command. Close this file, then type in a terminal: steadyneedle sit {}"


class SittingError(ValueError):
    """A paper cannot be sat here; the sentence says what to do."""


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
    paper = read_paper(path)
    answers = Answers(paper, path.parent)
    _refuse_what_loses_answers(path, answers)
    name = f"{paper.stem}.ipynb"

    def lay(room: Path) -> Path:
        folder = room / notebooks.PAPER
        folder.mkdir(mode=0o700)
        (folder / name).write_text(notebooks.as_text(page_of(paper)), encoding="utf-8")
        return folder

    tell(f"Your answers are kept in {answers.path}")
    tell("Leave this window open while you work; press Ctrl-C here when you have handed in. The paper is at")
    return running.open_lab(
        lay, name, tell, browser=browser, port=port, first_lines=(WARM,), variables={DESK: str(path.parent)}
    )  # fmt: skip


def _refuse_what_loses_answers(path: Path, answers: Answers) -> None:
    """Say at once what the candidate would otherwise find out after an hour."""
    own = (places.PACKAGE, places.lessons())
    if any(path.is_relative_to(one) for one in own):
        raise SittingError(f"{path.name} lies among the workbook's own files. Copy it into a folder of yours.")
    if not user_state.can_hold_files(path.parent):
        raise SittingError(
            f"Nothing can be saved in {path.parent}: it is full, or you may not write there. "
            "Copy the paper into another folder, then open it there."
        )
    if wrong := answers.wrong():
        raise SittingError(wrong if wrong.endswith(".") else f"{wrong}. Give that file another name.")


def page_of(paper: Paper) -> dict[str, Any]:
    """The notebook of the page: what the paper asks, and a form below each question.

    Parameters
    ----------
    paper : Paper
        The paper.

    Returns
    -------
    dict
        A notebook as plain data.
    """
    attempt = f", attempt {paper.attempt}" if paper.attempt > 1 else ""
    head = f"# {paper.title}\n\n**Candidate {paper.candidate}**{attempt}, {_counted(len(paper.items), 'question')}, "
    cells = [
        _cell("markdown", "head", f"{head}{_counted(paper.minutes, 'minute')}\n\n{paper.pass_mark} {HOW}"),
        _cell("code", "open", OPEN),
    ]
    for one in paper.items:
        cells.append(_cell("markdown", f"question-{one.number}", _asked(one)))
        cells.append(_cell("code", f"answer-{one.number}", f"paper.answer({one.number})"))
    cells += [_cell("markdown", "end", "## Hand in"), _cell("code", "hand-in", "paper.hand_in()")]
    mark = {"lesson": paper.stem, "page": notebooks.PAPER, "paper": paper.as_data()}
    return {"cells": cells, "metadata": {notebooks.MARK: mark}, "nbformat": 4, "nbformat_minor": 5}


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
    """One paper in front of one candidate."""

    def __init__(self, paper: Paper, desk: Path) -> None:
        self._paper = paper
        self._answers = Answers(paper, desk)
        self._started = datetime.datetime.now().astimezone()
        self._trouble = ""
        self._shown: list[FrameWidget] = []
        self._hand_in: Any = None
        try:
            self._started = self._answers.open(self._started)
            self._trouble = self._answers.trouble()
        except StoreError as error:
            self._trouble = str(error)

    def begin(self) -> None:
        """The clock."""
        from steadyneedle.teaching.frame.clock import Clock, show_clock

        self._hold(show_clock(Clock(self._started, self._paper.minutes), self._answers.elsewhere))

    def answer(self, number: int) -> None:
        """The form of one question."""
        from steadyneedle.sitting_forms import session_of
        from steadyneedle.teaching.frame.forms import show_form

        session = session_of(self._paper.item(number), self._answers, self._follow)
        kept = "Saved" if self._answers.typed().get(number) else ""
        self._hold(show_form(session, self._trouble or kept, after=self._follow))

    def hand_in(self) -> None:
        """The form that hands in."""
        from steadyneedle.sitting_forms import HandInSession
        from steadyneedle.teaching.frame.forms import show_form

        self._hand_in = self._hold(show_form(HandInSession(self._answers), self._trouble))

    def close(self) -> None:
        """Close every widget shown: a newer page shows its own."""
        for widget in self._shown:
            widget.close()
        self._shown.clear()

    def _hold(self, widget: Shown) -> Shown:
        self._shown.append(widget)
        return widget

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

    desk, paper = os.environ.get(DESK), _paper_shown()
    if not desk or paper is None:
        print(NOT_HERE.format(Path(os.environ.get("JPY_SESSION_NAME", "PAPER.ipynb")).name))
        return None
    while _open:
        _open.pop().close()
        forget_layout()
        gc.collect()
    sitting = Sitting(paper, Path(desk))
    _open.append(sitting)
    sitting.begin()
    return sitting


def _paper_shown() -> Paper | None:
    """The paper that the page beside this kernel shows: whatever becomes of the candidate's file, it goes on."""
    for page in places.work().glob("*.ipynb"):
        mark = notebooks.read(page)["metadata"].get(notebooks.MARK, {})
        if mark.get("page") == notebooks.PAPER and isinstance(mark.get("paper"), dict):
            return paper_of(mark["paper"])
    return None


def warm() -> None:
    """Import what the page's cells need, while the page is still loading."""
    from steadyneedle import sitting_forms, sitting_job  # noqa: F401
    from steadyneedle.questions.plans import home_of
    from steadyneedle.teaching.frame import clock, forms  # noqa: F401
    from steadyneedle.teaching.frame.publishing import leave_no_stills

    leave_no_stills()
    home_of("")  # every module of questions
