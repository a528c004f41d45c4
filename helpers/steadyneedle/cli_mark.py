"""The assessor's word: a folder of handed-in papers is marked."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from steadyneedle.terminal import A_PATH, DONE, place, refuse, show, tell

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from steadyneedle.assessing.mark_cohort import CohortMarked
    from steadyneedle.assessing.pass_marks import NewPassMark

SOME_WAIT, SOME_UNREADABLE = 3, 4
MOST_NAMED = 5
MOST_SAID = 20
INSTEAD = (
    "name another folder for the results. What an earlier marking laid there (marks.csv, record.jsonl, marked, "
    "by-hand, observed.csv, changed-marks.csv), move there first."
)


@click.command(short_help="Mark the papers that came back.")
@click.argument("folder", type=A_PATH)
@click.option("--key", type=A_PATH, required=True, metavar="FILE", help="The key that made the papers.")
@click.option("--out", type=A_PATH, required=True, metavar="FOLDER", help="Where the results go.")
@click.option("--semicolons", is_flag=True, help="Lay files to fill in for a spreadsheet that writes 3,5 and not 3.5.")
@click.option("--pass-mark", "percent", type=int, metavar="PERCENT", help="Change the pass mark, say after a meeting.")
@click.option("--by", metavar="WHO", help="Who changes it; the record keeps it.")
@click.option("--paper", metavar="NAME", help="Of which paper, where several came back.")
@click.option("--attempt", type=int, metavar="NUMBER", help="Of which attempt, where several came back.")
@click.option("--forms", is_flag=True, help="Lay observed.csv and changed-marks.csv to fill in.")
def mark(
    folder: Path, key: Path, out: Path, semicolons: bool, forms: bool, percent: int | None, by: str | None,
    paper: str | None, attempt: int | None,
) -> None:  # fmt: skip
    """Mark every handed-in file of FOLDER: a mark sheet, a graded notebook for each, a record for appeals.

    What a person must mark goes into by-hand, a CSV file and a page a question. Fill in the marks,
    and mark again: they are in the mark sheet then.

    Nothing handed in is run. A file that cannot be read gets a row that says why, and everyone else is marked.
    Questions, weights and pass mark are those of the day of issue, whatever the plan says today.

    Exit status: 0 all marked, 3 something waits for a person, 4 some could not be read, 2 nothing was marked:
    no file lies there, or the line cannot be carried out. With --forms an empty folder is no fault: 0, the forms are
    laid and everybody is missing.
    """
    import datetime

    from steadyneedle.assessing.changed_marks import lay_changes
    from steadyneedle.assessing.hand_tables import COMMA, SEMICOLON
    from steadyneedle.assessing.handed_in_folder import looked_through
    from steadyneedle.assessing.mark_cohort import mark_cohort
    from steadyneedle.assessing.observed import lay_checklist
    from steadyneedle.assessing.papers_folder import IssueError, refuse_papers_among_answers
    from steadyneedle.assessing.pass_marks import PassMarkError
    from steadyneedle.assessing.results_folder import ResultsError, ResultsFolder
    from steadyneedle.assessing.secret import KeyFileError, open_to_others, read_key

    folder, key, out = place(folder), place(key), place(out)
    change = _change(percent, by, paper, attempt)
    if not folder.is_dir():
        refuse(f"There is no folder {folder}. Name the folder in which the handed-in files lie.")
    if key.resolve().parent == folder.resolve():
        refuse("The key lies among the handed-in files. Keep it in another folder, then mark again.")
    try:
        cohort = read_key(key)
        refuse_papers_among_answers(out, "The results, with the right answers,", INSTEAD)
        open_key = open_to_others(key)
        there = looked_through(folder)
        if not there.to_mark and not forms:
            refuse(f"{folder} holds no handed-in file. Collect the files that Hand in wrote, then mark again.")
        with (
            ResultsFolder.opened(out, folder, SEMICOLON if semicolons else COMMA) as results,
            _bar(len(there.to_mark)) as bar,
        ):
            now = datetime.datetime.now(datetime.UTC)
            marked = mark_cohort(folder, cohort, results, there.to_mark, now, lambda: bar.update(1), change)
            if forms:
                lay_checklist(results, cohort.everybody())
                lay_changes(results)
    except (IssueError, KeyFileError, PassMarkError, ResultsError) as error:
        refuse(str(error))
    except OSError as error:
        refuse(f"{error.filename or out} cannot be read or written: {error.strerror or error}.")
    _say_left_out(sorted([*there.left_out, *marked.left_out]))
    if open_key:
        tell(open_key)
    raise click.exceptions.Exit(_say(marked, out))


def _change(percent: int | None, by: str | None, paper: str | None, attempt: int | None) -> NewPassMark | None:
    """A pass mark that somebody sets; refused without who that is."""
    from steadyneedle.assessing.paper_plan import paper_name
    from steadyneedle.assessing.pass_marks import LONGEST_BY, NewPassMark
    from steadyneedle.foundation.text_files import printable

    who = (by or "").strip()
    if percent is None and by is None:
        if paper is not None or attempt is not None:
            refuse("--paper and --attempt say whose pass mark changes. Name it too: --pass-mark 65 --by NAME.")
        return None
    if percent is None or not who:
        refuse('A changed pass mark needs both: --pass-mark 65 --by "your name or initials".')
    if not 1 <= percent <= 100:
        refuse("A pass mark is a whole number from 1 to 100, in percent.")
    if len(who) > LONGEST_BY or not who.isprintable():
        refuse(f"--by takes at most {LONGEST_BY} plain characters.")
    if attempt is not None and attempt < 1:
        refuse("Attempts count from 1.")
    return NewPassMark(percent, who, paper_name(printable(paper or "")), attempt or 0)


def _bar(length: int) -> AbstractContextManager[Any]:
    """Progress on a terminal, none in a pipe."""
    on_a_terminal = sys.stderr is not None and sys.stderr.isatty()
    return click.progressbar(length=length, label="Marking", file=sys.stderr, hidden=not on_a_terminal)


def _say_left_out(names: list[str]) -> None:
    """Say which files of ours were not looked at."""
    from steadyneedle.assessing.as_shown_safely import plain_name

    if names:
        listed = ", ".join(map(plain_name, names[:MOST_NAMED])) + (", ..." if len(names) > MOST_NAMED else "")
        tell(f"Left out, for nobody handed them in: {listed} ({len(names)} in all).")


def _say(marked: CohortMarked, out: Path) -> int:
    """Say what came of it; the exit status."""
    from steadyneedle.assessing.handed_in import IS_A_KEY
    from steadyneedle.assessing.mark_sheet import MARKED, MISSING, UNREADABLE, WAITING, counts

    found = counts(marked.rows)
    show(
        f"{found[MARKED]} marked, {found[WAITING]} waiting for a person, {found[UNREADABLE]} could not be read"
        f"{_to_see_to(marked.to_mend, marked.unknown)}."
    )
    show(f"The mark sheet: {out / 'marks.csv'}")
    for stem, count in marked.open.items():
        show(f"{count} to mark by hand: {out / 'by-hand' / stem}.csv, and {stem}.html beside it to read.")
    if found[MISSING]:
        tell(f"{found[MISSING]} missing: nothing of them lies in the folder. The mark sheet names them.")
    for row in marked.rows:
        if row.reason.endswith(IS_A_KEY):
            tell(row.reason)
    for sentence in marked.said[:MOST_SAID]:
        tell(sentence)
    if len(marked.said) > MOST_SAID:
        tell(f"... and {len(marked.said) - MOST_SAID} more like these; the notes in the files of by-hand name all.")
    for sentence in marked.planned_anew:
        tell(sentence)
    for name in marked.left_over:
        tell(f"{name} in {out / 'marked'} is from an earlier marking; no file of this one belongs to it.")
    if found[UNREADABLE]:
        return SOME_UNREADABLE
    return SOME_WAIT if found[WAITING] or marked.to_mend or marked.unknown else DONE


def _to_see_to(to_mend: int, unknown: int) -> str:
    """What waits beside answers: rows that a person typed and that were refused, candidates of a newer key."""
    rows = "1 row that a person typed waits" if to_mend == 1 else f"{to_mend} rows that a person typed wait"
    known = "1 candidate is" if unknown == 1 else f"{unknown} candidates are"
    said = [f"{rows} to be mended"] if to_mend else []
    said += [f"{known} unknown to this key"] if unknown else []
    return "".join(f"; {one}" for one in said)
