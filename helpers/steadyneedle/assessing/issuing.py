"""Issuing papers: the key is kept first, then each paper, then the index, each file whole or not at all.

All is checked before anything is written. The same roster, plan and key give the same bytes again; a paper that is
there already and differs is never written over, for somebody may be sitting it.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from filelock import FileLock, Timeout

from steadyneedle.assessing.edition import entry_of
from steadyneedle.assessing.issue_notes import notes_on
from steadyneedle.assessing.paper_file import bytes_of
from steadyneedle.assessing.paper_plan import PaperPlan
from steadyneedle.assessing.papers_folder import (
    INDEX,
    IssueError,
    Rows,
    cohort_of_a_paper,
    index_bytes,
    index_rows,
    refuse_answers_among_papers,
)
from steadyneedle.assessing.roster import MOST_SAID
from steadyneedle.assessing.seating import same_job
from steadyneedle.assessing.secret import CohortKey, KeyFileError, new_key, read_key, write_key
from steadyneedle.assessing.setting import paper_for
from steadyneedle.foundation.store import LOCK_SECONDS, write_atomically
from steadyneedle.foundation.text_files import printable


@dataclass(frozen=True)
class Issued:
    """What was issued: how many papers, how many of them stood there already, and whether the key is new.

    `same_job` are candidates who meet the same job: nobody but the assessor is told, and no file says it. `said` are
    sentences on what an assessor may not have meant.
    """

    papers: int
    unchanged: int
    fresh_key: bool
    same_job: tuple[tuple[str, ...], ...] = ()
    said: tuple[str, ...] = ()


def key_path(plan: PaperPlan, named: Path | None, folder: Path) -> Path:
    """Where the key lies: the file named, else PAPER.key where one stands; never in the folder of the papers.

    Raises
    ------
    IssueError
        Inside the folder of the papers, or in no folder at all.
    """
    path = (named or Path.cwd() / f"{plan.name}.key").absolute()
    if path.resolve().is_relative_to(folder.resolve()):
        raise IssueError(
            f"The key {printable(path.name)} would lie among the papers, which are given away. "
            "Name a file elsewhere: --key FILE."
        )
    if not path.parent.is_dir():
        raise IssueError(f"There is no folder {printable(str(path.parent), 300)} for the key. Make it first.")
    return path


def issue(
    plan: PaperPlan, candidates: list[str], folder: Path, path: Path, attempt: int = 1,
    drawn: Callable[[], object] = lambda: None,
) -> Issued:  # fmt: skip
    """Write a paper for each candidate into a folder, and the index; the key notes to whom.

    Parameters
    ----------
    plan : PaperPlan
        What is asked.
    candidates : list of str
        From the roster.
    folder : Path
        Where the papers go; it must be there.
    path : Path
        The key; made where it is missing.
    attempt : int
        From 1; a resit is another attempt with other numbers.
    drawn : callable
        Called after each paper that is drawn.

    Raises
    ------
    IssueError, KeyFileError
        Nothing was written.
    OSError
        The disk is full or the folder cannot be written; the same command goes on where it stopped.
    """
    if not folder.is_dir():
        raise IssueError(f"There is no folder {printable(str(folder), 300)}. Make it first, then type the line again.")
    fresh = not os.path.lexists(path)  # a key made here by mistake is refused below, before it is written
    key = new_key() if fresh else read_key(path)
    _refuse_a_leap(key, path, plan, attempt)
    _refuse_another_way_to_write(key, candidates)
    _refuse_another_plan(key, plan, attempt)
    rows = index_rows(folder)
    _refuse_another_key(key, folder, rows)
    refuse_answers_among_papers(folder)
    papers = {}
    for one in candidates:
        papers[one] = paper_for(plan, key, one, attempt)
        drawn()
    files = {f"{paper.stem}.ipynb": bytes_of(paper) for paper in papers.values()}
    there = set(_standing(folder, files))
    rows |= {
        (one, plan.name, attempt): (f"{paper.stem}.ipynb", _sha256(files, paper.stem), key.cohort)
        for one, paper in papers.items()
    }
    with _alone(path):  # no paper is without its key
        kept = _keep(path, key, plan, attempt, {one: entry_of(paper) for one, paper in papers.items()}, fresh)
        for name, data in files.items():
            _sweep(folder, name)
            if name not in there:
                written(folder / name, data)
        _sweep(folder, INDEX)
        _write_if_changed(folder / INDEX, index_bytes(rows))
    notes = notes_on(kept, plan.name, attempt, candidates, folder)
    return Issued(len(files), len(there), fresh, same_job(kept.issued[plan.name][attempt], candidates), notes)


def _refuse_a_leap(key: CohortKey, path: Path, plan: PaperPlan, attempt: int) -> None:
    """Refuse an attempt before the one that comes before it."""
    if attempt == 1 or key.candidates(plan.name, attempt - 1):
        return
    last = max((one for one in key.issued.get(plan.name, {}) if one < attempt), default=0)
    first = f"Issue attempt {last + 1} first; or, where" if last else "Where"
    raise IssueError(
        f"{printable(path.name)} never issued attempt {attempt - 1} of this paper. {first} another key issued it, "
        f"name that one: --key FILE.{'' if last else ' The first issue of a paper is attempt 1.'}"
    )


def _refuse_another_way_to_write(key: CohortKey, candidates: list[str]) -> None:
    """Refuse 7 where 007 got a paper: within a cohort a number is one candidate, however it is written."""
    known = {int(one): one for attempts in key.issued.values() for each in attempts.values() for one in each.papers}
    wrong = [(at, one) for at, one in enumerate(candidates, 2) if known.get(int(one), one) != one]
    if wrong:
        more = [f"... and {len(wrong) - MOST_SAID} more rows."] if len(wrong) > MOST_SAID else []
        said = (
            f"Roster, row {at}: {one} is the number {known[int(one)]}, to whom a paper was issued. Write it so."
            for at, one in wrong[:MOST_SAID]
        )
        raise IssueError("\n".join([*said, *more]))


def _refuse_another_key(key: CohortKey, folder: Path, rows: Rows) -> None:
    """Refuse to lay papers of a second key among those of a first: half of a cohort could not be marked."""
    cohort = next((one for *_, one in rows.values()), "") or cohort_of_a_paper(folder)
    if cohort not in ("", key.cohort):
        raise IssueError(
            f"{printable(str(folder), 300)} holds papers that another key made. Name that key: --key FILE; "
            "or, for another cohort, another folder."
        )


def _refuse_another_plan(key: CohortKey, plan: PaperPlan, attempt: int) -> None:
    """Refuse to issue a different paper under the name of one that was issued: all of an attempt sit the same."""
    for one, digest in key.candidates(plan.name, attempt).items():
        if paper_for(plan, key, one, attempt).digest == digest:
            return
        raise IssueError(
            f"Candidate {one} was issued another paper as attempt {attempt}: the plan or the workbook has changed "
            "since. Issue the next attempt; or, where nobody has that paper yet, name a new key: --key FILE."
        )


def _sha256(files: dict[str, bytes], stem: str) -> str:
    return hashlib.sha256(files[f"{stem}.ipynb"]).hexdigest()


def _standing(folder: Path, files: dict[str, bytes]) -> Iterator[str]:
    """Names of the papers that stand there already as they would be written; refused where one differs."""
    for name, data in files.items():
        path = folder / name
        if not os.path.lexists(path):
            continue
        same = path.is_file() and not path.is_symlink() and path.stat().st_size == len(data)
        if not same or path.read_bytes() != data:
            raise IssueError(
                f"{name} is in that folder already, and is another paper: made with another key, another plan or "
                "another version of the workbook. Name the right key, or another folder."
            )
        yield name


@contextlib.contextmanager
def _alone(path: Path) -> Iterator[None]:
    """Two commands at once must not make two keys."""
    try:
        with FileLock(path.with_name(f".{path.name}.lock"), timeout=LOCK_SECONDS):
            yield
    except Timeout:
        raise IssueError(f"Another command is using {printable(path.name)}. Wait for it, then try again.") from None


def _keep(path: Path, key: CohortKey, plan: PaperPlan, attempt: int, papers: dict[str, str], fresh: bool) -> CohortKey:
    """The key with what is now issued, written before any paper: no paper is without its key."""
    _sweep(path.parent, path.name)
    kept = read_key(path) if os.path.lexists(path) else key
    if kept.secret != key.secret or (not fresh and not os.path.lexists(path)):
        raise KeyFileError(f"{printable(path.name)} was changed while papers were made. Type the line again.")
    there = kept.edition(plan.name, attempt)
    if there is None or not papers.items() <= there.papers.items():
        kept.issue(plan, attempt, papers)
        with naming(path):
            write_key(path, kept)
    return kept


def _sweep(folder: Path, name: str) -> None:
    """Remove what a killed command left of a file."""
    for part in folder.glob(f".{name}.*.part"):
        with contextlib.suppress(OSError):
            part.unlink()


def _write_if_changed(path: Path, data: bytes) -> None:
    if not path.is_file() or path.read_bytes() != data:
        written(path, data)


@contextlib.contextmanager
def naming(path: Path) -> Iterator[None]:
    """What cannot be written is named as it will be called, also where the system names no file or a part of it."""
    try:
        yield
    except OSError as error:
        raise OSError(error.errno or 0, error.strerror or str(error), str(path)) from error


def written(path: Path, data: bytes) -> None:
    """Write a file, whole or not at all; an OSError names it."""
    with naming(path):
        write_atomically(path, data)
