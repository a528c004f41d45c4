"""A learner's working copy, and which of its lessons to open."""

from __future__ import annotations

import datetime
import os
from dataclasses import dataclass
from pathlib import Path

from steadyneedle.foundation import notebooks, places
from steadyneedle.foundation.store import Store, StoreError, write_atomically

HIDDEN = ".steady-needle"
FIRST_LESSON = "00-start-here.ipynb"


class WorkplaceError(RuntimeError):
    """Something about this machine or folder stands in the way; the sentence says what to do."""


@dataclass(frozen=True)
class Change:
    """What happened to one lesson of a working copy."""

    lesson: str
    what: str


def update_copy(
    folder: Path, shipped: Path | None = None, today: datetime.date | None = None, instructor: bool = False
) -> list[Change]:
    """Bring a working copy up to date; what the learner wrote is kept.

    A lesson whose sources the learner changed is theirs. When its shipped version changes, theirs is kept
    under a dated name and the new one laid beside it. Any other lesson is simply replaced, outputs and metadata
    too; from theirs widget views are cleaned away, which show errors without the kernel that made them.

    Parameters
    ----------
    folder : Path
        Made where it is missing.
    shipped : Path
        Folder of the lessons as shipped.
    today : datetime.date
        For the dated names.
    instructor : bool
        Whether the instructor's pages are laid too.

    Returns
    -------
    list of Change
        Only what a learner wants to know: new, updated, kept.

    Raises
    ------
    WorkplaceError
        The folder cannot be made or written.
    """
    source = shipped or places.lessons()
    day = today or datetime.date.today()
    if source.resolve() in (folder.resolve(), *folder.resolve().parents):
        raise WorkplaceError(
            f"{folder} holds the workbook's own lessons. Name another folder: steadyneedle study FOLDER"
        )
    try:
        for inner in (HIDDEN, notebooks.INSTRUCTOR):
            if (folder / inner).is_symlink():
                raise WorkplaceError(
                    f"{folder / inner} is a link: nothing is written through it. Rename it, then try again."
                )
        (folder / HIDDEN).mkdir(parents=True, exist_ok=True)
        store = Store(folder / HIDDEN / "lessons.json", version=1)
        with store.change() as content:
            known = content.get("delivered")
            delivered: dict[str, str] = known if isinstance(known, dict) else {}
            content["delivered"] = delivered
            names = [path.relative_to(source) for path in sorted(source.glob("*.ipynb"))]
            if instructor:
                names += [path.relative_to(source) for path in sorted((source / "instructor").glob("*.ipynb"))]
            changes = [_update_lesson(source, name, folder, delivered, day) for name in names]
        _begin_work(folder)
    except StoreError as error:
        raise WorkplaceError(str(error)) from error
    except OSError as error:
        raise WorkplaceError(
            f"Cannot write in {folder}: {error.strerror or error}. Name another folder: steadyneedle study FOLDER"
        ) from error
    return [change for change in changes if change is not None]


def _update_lesson(
    source: Path, name: Path, folder: Path, delivered: dict[str, str], day: datetime.date
) -> Change | None:
    label, mine = name.as_posix(), folder / name
    mine.parent.mkdir(exist_ok=True)
    new = notebooks.read(source / name)
    digest = notebooks.source_digest(new)
    before = delivered.get(label)
    delivered[label] = digest
    try:
        own = notebooks.read_own(mine) if os.path.lexists(mine) else None
    except notebooks.NotebookError:
        own = {}
    if own is None:
        _write(mine, new)
        return Change(label, "new" if before is None else "was missing, laid again")
    if not own:
        kept = _keep(mine, day)
        _write(mine, new)
        return Change(label, f"could not be read; it is kept as {kept}, a fresh copy laid")
    theirs = notebooks.source_digest(own)
    if theirs == digest:
        if own != new:
            _write(mine, new)
        return None
    if theirs == before:
        _write(mine, new)
        return Change(label, "updated")
    if before == digest:
        _write_if_changed(mine, own)
        return None
    kept = _keep(mine, day)
    _write(mine, new)
    return Change(label, f"updated; yours, which you changed, is kept as {kept}")


def _begin_work(folder: Path) -> None:
    """Lay the learner's file where there is none: a page reads from it before anything was kept."""
    from steadyneedle.teaching.learner.progress import FILE, Progress

    if not (folder / FILE).exists():
        with Progress(folder).change():
            pass


@dataclass(frozen=True)
class Left:
    """Where a learner left off: name of the lesson to open, and the ground, `light` or `dark`.

    `wrong` says what of the learner's file cannot be read, empty where all can.
    """

    lesson: str
    ground: str
    wrong: str = ""


def left_at(folder: Path, shipped: Path | None = None) -> Left:
    """Where the learner of a working copy left off; lesson 00 where nothing is known. Nothing is set aside."""
    from steadyneedle.teaching.learner.bookmark import ground_of, last_lesson
    from steadyneedle.teaching.learner.progress import Progress

    progress = Progress(folder, only_look=True)
    number = last_lesson(progress)
    names = sorted(path.name for path in (shipped or places.lessons()).glob("*.ipynb"))
    lesson = next((name for name in names if number and name.startswith(f"{number}-")), FIRST_LESSON)
    return Left(lesson, ground_of(progress), progress.look())


def _write(path: Path, book: dict) -> None:
    write_atomically(path, notebooks.as_text(notebooks.clean(book)).encode("utf-8"))


def _write_if_changed(path: Path, book: dict) -> None:
    if notebooks.clean(book) != book:
        _write(path, book)


def _keep(path: Path, day: datetime.date) -> str:
    """Rename a learner's lesson to a dated name that is still free."""
    name, count = f"{path.stem} (yours, {day.isoformat()}){path.suffix}", 1
    while os.path.lexists(path.with_name(name)):
        count += 1
        name = f"{path.stem} (yours, {day.isoformat()}, {count}){path.suffix}"
    path.rename(path.with_name(name))
    return name
