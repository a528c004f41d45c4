"""The assessor's first word: a roster becomes one paper a candidate."""

from __future__ import annotations

import errno
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadyneedle.terminal import place, refuse, show, tell

if TYPE_CHECKING:
    from steadyneedle.assessing.paper_plan import PaperPlan

A_PATH = click.Path(path_type=Path, readable=False)
MOST_ATTEMPTS = 99


@click.command(short_help="Make a paper for each candidate of a roster.")
@click.argument("roster", type=A_PATH, required=False, metavar="ROSTER.csv")
@click.option("--paper", "words", metavar="NAME", help='Which paper, for example "units and bands".')
@click.option("--out", "folder", type=A_PATH, metavar="FOLDER", help="Where the papers go; it must be there.")
@click.option(
    "--attempt", type=int, default=1, metavar="N",
    help="2 for a first resit: other numbers; short texts stay the same, the plan may name others.",
)  # fmt: skip
@click.option(
    "--key", "named", type=A_PATH, metavar="FILE", help="The cohort's key; left out, NAME.key where you stand."
)
@click.option(
    "--specimen", is_flag=True, help="One invented candidate's paper instead, with model answers and without."
)
def papers(
    roster: Path | None, words: str | None, folder: Path | None, attempt: int, named: Path | None, specimen: bool
) -> None:
    """Make a paper for each candidate: one notebook each, with numbers of their own.

    ROSTER.csv has one column, candidate: 1 to 12 digits a row. The key is made on first use. Keep it
    where no candidate can read it, and keep a copy: nothing can be marked without it.
    """
    from steadyneedle.assessing.paper_plan import PlanError
    from steadyneedle.assessing.plan_file import load_plan, plan_names

    if specimen and roster is not None:
        refuse("A specimen needs no roster. Leave ROSTER.csv out, or --specimen.")
    if roster is None and not specimen:
        refuse("Name the roster: a CSV file with the one column candidate. Or ask for the paper's --specimen.")
    if words is None:
        refuse(f'Which paper? --paper "{plan_names()[0].replace("-", " ")}", for example.')
    if folder is None:
        refuse("Where do the papers go? Name a folder that is there: --out FOLDER.")
    folder = place(folder)
    try:
        plan = load_plan(words)
    except PlanError as error:
        refuse(str(error))
    if not folder.is_dir():
        refuse(f"There is no folder {folder}. Make it first, then type the line again.")
    if roster is not None:
        _issue(plan, place(roster), folder, attempt, named)
    else:
        _lay_specimen(plan, folder)


def _lay_specimen(plan: PaperPlan, folder: Path) -> None:
    """The specimen's files, named."""
    from steadyneedle.assessing.papers_folder import IssueError
    from steadyneedle.assessing.specimen import write_specimen

    try:
        laid = write_specimen(plan, folder)
    except IssueError as error:
        refuse(str(error))
    except OSError as error:
        refuse(_not_written(error, folder))
    for path in laid:
        show(str(path))


def _not_written(error: OSError, folder: Path) -> str:
    """What a full disk, or a folder that is not ours, is said to be."""
    full = error.errno in (errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC))
    why = f"{error.filename or folder} cannot be written: {error.strerror or error}. Each file is whole or not there."
    return f"{why} {'Make room' if full else 'Mend that'}, then type the same line again: it goes on where it stopped."


def _issue(plan: PaperPlan, roster: Path, folder: Path, attempt: int, named: Path | None) -> None:
    """Papers for a whole roster."""
    from steadyneedle.assessing.issue_notes import another_key_beside
    from steadyneedle.assessing.issuing import issue, key_path
    from steadyneedle.assessing.papers_folder import INDEX, IssueError
    from steadyneedle.assessing.roster import RosterError, read_roster
    from steadyneedle.assessing.seating import seat_apart
    from steadyneedle.assessing.secret import KeyFileError, open_to_others

    if not 1 <= attempt <= MOST_ATTEMPTS:
        refuse(f"An attempt is a whole number from 1 to {MOST_ATTEMPTS}.")
    try:
        candidates = read_roster(roster)
        path = key_path(plan, place(named) if named else None, folder)
        on_a_terminal = sys.stderr is not None and sys.stderr.isatty()
        with click.progressbar(
            length=len(candidates), label="Drawing", file=sys.stderr, hidden=not on_a_terminal
        ) as bar:  # fmt: skip
            done = issue(plan, candidates, folder, path, attempt, lambda: bar.update(1))
    except (IssueError, KeyFileError, RosterError) as error:
        refuse(str(error))
    except OSError as error:
        refuse(_not_written(error, folder))
    if open_key := open_to_others(path):
        tell(open_key)
    if done.fresh_key:
        tell(f"Key made: {path}. Keep it where no candidate can read it, and keep a copy.")
        if not named and (beside := another_key_beside(path, plan.name, folder)):
            tell(beside)
    there = f", {done.unchanged} of them there already" if done.unchanged else ""
    many = "s" if done.papers > 1 else ""
    tell(f"{done.papers} paper{many} in {folder}{there}. {INDEX} lists them.")
    for sentence in done.said:
        tell(sentence)
    for group in done.same_job:
        show(seat_apart(group))
