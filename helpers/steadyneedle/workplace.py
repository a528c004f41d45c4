"""A learner's working copy, which of its lessons to open, and whether this machine is ready."""

from __future__ import annotations

import datetime
import importlib.util
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from packaging.requirements import Requirement

from steadyneedle.foundation import notebooks, places
from steadyneedle.foundation.store import Store, StoreError, write_atomically

HIDDEN = ".steady-needle"
FIRST_LESSON = "00-start-here.ipynb"
NEEDED_PYTHON = (3, 11)


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
    except (OSError, StoreError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise WorkplaceError(
            f"Cannot write in {folder}: {reason}. Name another folder: steadyneedle study FOLDER"
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
        own = notebooks.read(mine) if mine.exists() else None
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
    """Where a learner left off: name of the lesson to open, and the ground, `light` or `dark`."""

    lesson: str
    ground: str


def left_at(folder: Path, shipped: Path | None = None) -> Left:
    """Where the learner of a working copy left off; lesson 00 where nothing is known."""
    from steadyneedle.teaching.learner.bookmark import ground_of, last_lesson
    from steadyneedle.teaching.learner.progress import Progress

    progress = Progress(folder)
    number = last_lesson(progress)
    names = sorted(path.name for path in (shipped or places.lessons()).glob("*.ipynb"))
    lesson = next((name for name in names if number and name.startswith(f"{number}-")), FIRST_LESSON)
    return Left(lesson, ground_of(progress))


def _write(path: Path, book: dict) -> None:
    write_atomically(path, notebooks.as_text(notebooks.clean(book)).encode("utf-8"))


def _write_if_changed(path: Path, book: dict) -> None:
    if notebooks.clean(book) != book:
        _write(path, book)


def _keep(path: Path, day: datetime.date) -> str:
    """Rename a learner's lesson to a dated name that is still free."""
    name, count = f"{path.stem} (yours, {day.isoformat()}){path.suffix}", 1
    while path.with_name(name).exists():
        count += 1
        name = f"{path.stem} (yours, {day.isoformat()}, {count}){path.suffix}"
    path.rename(path.with_name(name))
    return name


# readiness --------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Finding:
    """One line of the readiness report; `mend` is the command that mends it."""

    good: bool
    what: str
    mend: str = ""


def findings(folder: Path) -> Iterator[Finding]:
    """Whether Python, packages, kernel, widgets, fonts and the folder are as needed."""
    version = ".".join(map(str, sys.version_info[:3]))
    yield Finding(
        sys.version_info >= NEEDED_PYTHON,
        f"Python {version}, needs 3.11 or newer",
        "Install Python 3.11 or newer.",
    )
    yield from _packages()
    yield _kernel()
    yield _widgets()
    yield _fonts()
    yield _write_access(folder)


def _pip(arguments: str) -> str:
    return f"{Path(sys.executable).as_posix()} -m pip install {arguments}"


def _packages() -> Iterator[Finding]:
    for line in metadata.requires("steadyneedle") or ():
        need = Requirement(line)
        if need.marker is not None and not need.marker.evaluate({"extra": ""}):
            continue
        try:
            have = metadata.version(need.name)
        except metadata.PackageNotFoundError:
            yield Finding(
                False,
                f"{need.name} is missing, needs {need.specifier}",
                _pip(f'"{need.name}{need.specifier}"'),
            )
            continue
        good = need.specifier.contains(have, prereleases=True)
        yield Finding(good, f"{need.name} {have}, needs {need.specifier}", _pip(f'"{need.name}{need.specifier}"'))


_TRY_THE_KERNEL = """
import jupyter_client.manager
manager, client = jupyter_client.manager.start_new_kernel(kernel_name="python3", startup_timeout=60)
client.execute_interactive("import steadyneedle, sys; print(sys.executable)", timeout=60)
client.stop_channels()
manager.shutdown_kernel(now=True)
"""


def _kernel() -> Finding:
    """Start the kernel the lessons name and compute with it."""
    me = Path(sys.executable)
    mend = f"{_pip('--force-reinstall ipykernel')} && {me.as_posix()} -m ipykernel install --sys-prefix"
    try:
        done = subprocess.run([sys.executable, "-c", _TRY_THE_KERNEL], capture_output=True, text=True, timeout=150)
    except subprocess.TimeoutExpired:
        return Finding(False, "kernel python3 does not answer", mend)
    lines = done.stdout.strip().splitlines()
    if done.returncode or not lines:
        return Finding(False, "kernel python3 does not start or does not know steadyneedle", mend)
    if Path(lines[-1]).resolve() != me.resolve():
        return Finding(False, f"kernel python3 runs another Python: {lines[-1]}", mend)
    return Finding(True, "kernel python3 starts and knows steadyneedle")


def _widgets() -> Finding:
    place = Path(sys.prefix) / "share" / "jupyter" / "labextensions"
    names = ("@jupyter-widgets/jupyterlab-manager", "anywidget")
    missing = [name for name in names if not (place / name / "package.json").is_file()]
    what = f"widgets in JupyterLab{': missing ' + ', '.join(missing) if missing else ''}"
    return Finding(not missing, what, _pip("--force-reinstall jupyterlab_widgets anywidget"))


def _fonts() -> Finding:
    found = importlib.util.find_spec("matplotlib")
    path = Path(found.origin or "").parent / "mpl-data" / "fonts" / "ttf" / "DejaVuSans.ttf" if found else Path()
    return Finding(path.is_file(), "font DejaVu Sans for pictures", _pip("--force-reinstall matplotlib"))


def _write_access(folder: Path) -> Finding:
    place = folder if folder.is_dir() else folder.parent
    try:
        with tempfile.NamedTemporaryFile(dir=place):
            pass
    except OSError as error:
        return Finding(
            False,
            f"may not write in {place}: {error.strerror}",
            "Name another folder: steadyneedle study FOLDER",
        )
    return Finding(True, f"may write in {place}")
