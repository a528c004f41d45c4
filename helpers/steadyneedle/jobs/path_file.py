"""The file that carries a path to an instructor: the path alone, no name. Read as data, never executed."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from steadyneedle.foundation.plain_json import PlainJSONError, read_plain
from steadyneedle.foundation.strict_json import StrictJSONError, read_strict
from steadyneedle.foundation.text_files import TextFileError, printable, read_file
from steadyneedle.jobs.path import JobPath, PathError
from steadyneedle.jobs.replayed import check_happened

LONGEST_SENTENCE = 2000
"""Characters of a refusal that quotes a path."""

LARGEST_FILE = 100_000
"""Bytes; sixty steps take a sixth of it."""

MOST_FILES = 200
"""So many files of a folder are read; a class is far smaller."""

KIND = "steadyneedle job path 1"
"""Stands in each file, so that another JSON file is not taken for one."""

_NUMBER = re.compile(r"job-(\d{1,6})\b", re.I)


def file_name(path: JobPath) -> str:
    """The name under which a path is saved.

    >>> file_name(JobPath(12, "Alder"))
    'job-12-path.json'
    """
    return f"job-{path.job}-path.json"


def save_path(path: JobPath, folder: Path) -> Path:
    """Write a path into a folder; a file of that name that holds something else stays, and the new one gets a number.

    Parameters
    ----------
    path : JobPath
        At its end.
    folder : pathlib.Path
        Where it goes.

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    PathError
        Nothing could be written; the sentence says why.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     made = save_path(JobPath(12, "Alder"), Path(folder))
    ...     made.name, read_path(made, all_known).job
    ('job-12-path.json', 12)
    """
    words = json.dumps({"kind": KIND, **path.data()}, indent=1, ensure_ascii=False) + "\n"
    stem = file_name(path).removesuffix(".json")
    for n in range(1, MOST_FILES):
        file = folder / (f"{stem}.json" if n == 1 else f"{stem}-{n}.json")
        try:
            if os.path.lexists(file):  # a link that leads nowhere is there too
                if not file.is_symlink() and file.is_file() and file.read_bytes() == words.encode():
                    return file
                continue
            with file.open("x", encoding="utf-8", newline="\n") as made:
                made.write(words)
            return file
        except FileExistsError:
            continue
        except OSError as error:
            raise PathError(f"{file.name} cannot be written: {error.strerror or error}. The path is kept.") from error
    raise PathError(f"There are {MOST_FILES} files of job {path.job} here already. Move some of them away.")


Known = Callable[[str], tuple[Mapping[str, tuple[str, ...]], tuple[str, ...]]]
"""From a design to its tests, each with its outcomes, and its causes; ValueError for an unknown one."""


def all_known(design: str) -> tuple[Mapping[str, tuple[str, ...]], tuple[str, ...]]:
    """The tests of a design with their outcomes, and its causes.

    >>> "tap" in all_known("Alder")[0]
    True
    """
    from steadyneedle.bench import diagnosis

    tests = {test: tuple(diagnosis.outcomes(design, test)) for test in diagnosis.tests(design)}
    return tests, tuple(diagnosis.causes(design))


def read_path(file: Path, known: Known = all_known) -> JobPath:
    """The path that a file holds.

    Parameters
    ----------
    file : pathlib.Path
        As `save_path` wrote it, perhaps under a longer name.
    known : callable
        From a design to its tests and causes.

    Returns
    -------
    JobPath
        What somebody did.

    Raises
    ------
    PathError
        No such file, too large, no JSON, a name twice, a field of another kind, a test or cause that the design does
        not have, another number in the file's name.
    """
    name = printable(file.name)
    try:
        if file.is_symlink():
            raise PathError(f"{name} is a link. Put the file itself here.")
        size = file.stat().st_size if file.is_file() else 0
        if size > LARGEST_FILE:
            most = f"at most {LARGEST_FILE / 1000:.0f} kB are read"
            raise PathError(f"{name} holds {size / 1000:,.0f} kB; {most}. No path is as long.")
        text = read_file(file, LARGEST_FILE, "No path is as long.").text
        data, odd = read_plain(text.encode("utf-8", "replace"))
    except TextFileError as error:
        raise PathError(str(error)) from None
    except PlainJSONError:
        raise PathError(f"{name} is no file of a job's path: it is no JSON.") from None
    if odd:
        raise PathError(f"{name} is left out: it holds {' and '.join(sorted(odd))}, which no path does.")
    if not isinstance(data, dict) or data.pop("kind", None) != KIND:
        raise PathError(f"{name} is no file of a job's path: it does not say so.")
    try:
        path = JobPath.of(data)
        check_names(path, known)
    except ValueError as error:
        raise PathError(f"{name} is left out. {error}") from None
    said = _NUMBER.search(file.name)
    if said and int(said[1]) != path.job:
        raise PathError(
            f"{name} is left out: its name says job {int(said[1])}, and it holds job {path.job}. Rename it."
        )
    return path


def as_text(path: JobPath) -> str:
    """A path as one line of text, for a place that holds text alone.

    >>> path_in(as_text(JobPath(12, "Alder"))) == JobPath(12, "Alder")
    True
    """
    return json.dumps({"kind": KIND, **path.data()}, separators=(",", ":"))


def path_in(text: str, known: Known = all_known) -> JobPath:
    """The path that a line of text holds; nothing of it is mended.

    Raises
    ------
    PathError
        No path: no JSON, a field of another kind, a test, an outcome or a cause that the design does not have.

    Examples
    --------
    >>> path_in("9.8 bar")
    Traceback (most recent call last):
    steadyneedle.jobs.path.PathError: This is no path of a job: it is damaged: it is no JSON.
    """
    try:
        data = read_strict(text.encode("utf-8", "replace"))
    except StrictJSONError as error:
        raise PathError(f"This is no path of a job: it {error}.") from None
    if not isinstance(data, dict) or data.pop("kind", None) != KIND:
        raise PathError("This is no path of a job: it does not say so.")
    path = JobPath.of(data)
    try:
        check_names(path, known)
    except ValueError as error:
        raise PathError(printable(str(error), LONGEST_SENTENCE)) from None  # it may quote what a stranger wrote
    return path


def check_names(path: JobPath, known: Known = all_known) -> None:
    """Refuse a path with a test, an outcome or a cause that its design does not have.

    Raises
    ------
    ValueError
        An unknown name; the sentence names the known ones.
    """
    tests, causes = known(path.design)
    for one in (*path.tests, *((path.fatal,) if path.fatal else ())):
        if one not in tests:
            raise PathError(f"{path.design} has no test '{printable(one)}'; it has {', '.join(tests)}.")
    for test, outcome in path.findings:
        if outcome not in tests[test]:
            raise PathError(f"'{test}' never shows '{printable(outcome)}'; it shows {', '.join(tests[test])}.")
    for belief in path.beliefs:
        if belief.cause and belief.cause not in causes:
            raise PathError(f"{path.design} has no cause '{printable(belief.cause)}'; it has {', '.join(causes)}.")


ENDINGS = (".json", ".json.txt", ".json.json")
"""How the file of a path may end, in capitals too: mail and Windows hang an ending of their own on it."""

_TO_DO = "Ask for the file once more, as the debrief saved it."
_MEANT = re.compile(r"job-\d{1,6}-path", re.I)


@dataclass(frozen=True)
class Folder:
    """What a folder holds: each path once, a sentence for files that hold the same, and one for each file left out."""

    paths: tuple[JobPath, ...] = ()
    notes: tuple[str, ...] = ()
    same: tuple[str, ...] = ()

    @property
    def numbers(self) -> tuple[int, ...]:
        """Numbers of the jobs, in order."""
        return tuple(sorted({path.job for path in self.paths}))


def read_folder(folder: Path, known: Known = all_known) -> Folder:
    """All paths of a folder and of the folders in it, one level deep, that can have happened; the same counts once.

    Parameters
    ----------
    folder : pathlib.Path
        Where an instructor has put what trainees sent; it need not be there.
    known : callable
        From a design to its tests and causes.

    Returns
    -------
    Folder
        Paths in the order of their files' names, what is there twice, what was left out, why and what to do.

    Examples
    --------
    >>> read_folder(Path("there is no such folder"))
    Folder(paths=(), notes=(), same=())
    """
    try:
        files, notes = _listed(folder)
    except OSError as error:
        name = printable(folder.name)
        return Folder((), (f"The folder {name} cannot be read: {error.strerror or error}. Make it readable.",))
    if len(files) > MOST_FILES:
        notes.append(
            f"{len(files)} files lie in {printable(folder.name)}; the first {MOST_FILES} are read. "
            "Move the others away."
        )
    names: dict[JobPath, list[str]] = {}
    for file in files[:MOST_FILES]:
        called = printable(file.relative_to(folder).as_posix())
        try:
            path = read_path(file, known)
        except PathError as error:
            notes.append(_refusal(str(error).replace(printable(file.name), called, 1)))
            continue
        if not path.end:
            notes.append(f"{called} is left out: its job has not ended. Let the job be ended and its debrief be shown.")
            continue
        try:
            check_happened(path)
        except PathError as error:
            notes.append(_refusal(f"{called} is left out. {error}"))
        else:
            names.setdefault(path, []).append(called)
    same = (
        f"{', '.join(one[:-1])} and {one[-1]} hold the same path; it counts once." for one in names.values() if one[1:]
    )
    return Folder(tuple(names), tuple(notes), tuple(same))


def _listed(folder: Path) -> tuple[list[Path], list[str]]:
    """Files that may hold a path, by name, and a sentence for each that seems to be meant for one and is not read."""
    found, notes = [], []
    for file in sorted([*_within(folder), *(one for inner in _within(folder) for one in _within(inner))]):
        called = printable(file.relative_to(folder).as_posix())
        if file.name.lower().endswith(ENDINGS):
            found.append(file)
        elif file.is_dir() and file.parent != folder and any(_MEANT.search(one.name) for one in _within(file)):
            notes.append(f"{called} lies too deep: folders are read one level deep. Move its files up.")
        elif _MEANT.search(file.name) and not file.is_dir():
            notes.append(
                f"{called} is left out: its name does not end in .json. Unpack it, or ask for the file itself."
            )
    return found, notes


def _within(folder: Path) -> list[Path]:
    """What lies in a folder but is not hidden; nothing behind a link, and nothing where there is no folder."""
    if folder.is_symlink() or not folder.is_dir() or folder.name.startswith((".", "__")):
        return []
    return [one for one in folder.iterdir() if not one.name.startswith(".")]


def _refusal(said: str) -> str:
    """Why a file is left out, and what to do about it."""
    return said if re.search(r"\b(?:Put|Rename|Unpack|Move) ", said) else f"{said} {_TO_DO}"
