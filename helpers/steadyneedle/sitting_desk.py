"""The folder where a paper lies: what there is said before the paper opens, and the line that opens it again."""

from __future__ import annotations

import os
import re
import shlex
from pathlib import Path

from steadyneedle.assessing.answers import Answers
from steadyneedle.foundation import places, user_state
from steadyneedle.foundation.text_files import printable

LONGEST_PATH = 300
TYPED = "STEADYNEEDLE_TYPED"
"""Holds what was typed to start the workbook, as `helpers/start.py` says it; without it the command was typed."""
WRITTEN_BESIDE = re.compile(r"(.+?)\.(answers|handed-in(?:-earlier-\d+)?)\.json")
"""A file that a sitting writes beside its paper: the paper's stem, and what is in it."""


class SittingError(ValueError):
    """A paper cannot be sat here; the sentence says what to do."""


def refuse_another_name(path: Path) -> None:
    """Say which file is the paper where its ending was not typed, or its answers or what was handed in are named."""
    whole = path.with_name(f"{path.name.rstrip('.')}.ipynb")
    if not os.path.lexists(path) and whole.is_file():
        raise SittingError(
            f"There is no file {printable(path.name)}. The paper is called {printable(whole.name)}; type: "
            f"{line_for(whole)}"
        )
    if path.suffix.lower() != ".json" or not path.is_file():
        return
    name, found = printable(path.name), WRITTEN_BESIDE.fullmatch(path.name)
    if found is None:
        raise SittingError(f"{name} is no paper: the name of a paper ends with .ipynb. Name that file.")
    what = "holds the answers to a paper" if found[2] == "answers" else "is what was handed in of a paper"
    paper = path.with_name(f"{found[1]}.ipynb")
    if paper.is_file():
        raise SittingError(f"{name} {what}, and cannot be sat. The paper lies beside it; type: {line_for(paper)}")
    raise SittingError(f"{name} {what}, and cannot be sat. Name the paper itself: {printable(paper.name)}")


def refuse_what_loses_answers(path: Path, answers: Answers) -> None:
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


def where_answers_are(answers: Answers) -> str:
    """Where answers are kept, and whether there are any: a paper that was moved alone begins anew."""
    if answers.path.exists():
        return f"Your answers are kept in {answers.path}. The paper goes on with those."
    return (
        f"Your answers will be kept in {answers.path}. There are none yet. If you have answered before, press Ctrl-C, "
        f"put your {answers.path.name} beside the paper, and type the same line again."
    )


def line_for(path: Path) -> str:
    """The line that opens a paper, in whatever folder it is typed.

    >>> line_for(Path("/desk/101-creep.ipynb")).endswith(" sit /desk/101-creep.ipynb")
    True
    """
    return f"{command()} sit {_as_one_word(printable(str(path), LONGEST_PATH))}"


def command() -> str:
    """What is typed before `sit`, in whatever folder."""
    return os.environ.get(TYPED) or "steadyneedle"


def _as_one_word(name: str) -> str:
    """A path as a terminal takes it for one word.

    >>> _as_one_word("/desk/101-creep.ipynb"), _as_one_word("/my desk/101-creep.ipynb")
    ('/desk/101-creep.ipynb', '"/my desk/101-creep.ipynb"')
    """
    if re.fullmatch(r"[\w./:\\-]+", name):
        return name
    return f'"{name}"' if os.name == "nt" or not re.search(r'["$`\\!]', name) else shlex.quote(name)
