"""The plug-in that JupyterLab loads: the files of `page/`, and what the shipped lessons hold."""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path
from typing import Any

import steadyneedle
from steadyneedle.foundation import notebooks, places

NAME = "steadyneedle-lesson-view"
STATIC = "static"
PAGE = Path(__file__).parent / "page"
MAKE = Path(steadyneedle.__file__).parent / "teaching" / "frame" / "make.js"


def lay_plug_in(folder: Path, shipped: Path | None = None, instructor: bool = False, present: bool = False) -> Path:
    """Lay the plug-in into a folder for JupyterLab's `extra_labextensions_path`.

    A browser keeps these files for a year, for JupyterLab tells it that they never change. So the folder that they lie
    in is named by what they hold: another workbook, other lessons or a paper have another address.

    Beside the page's own files it holds the source of every code cell that is ours, because only those run by
    themselves, and the shipped lessons, because a changed one can be had afresh.

    Parameters
    ----------
    folder : Path
        Made where it is missing.
    shipped : Path
        Folder of the lessons as shipped.
    instructor : bool
        Whether the instructor's pages, which hold answers, can be had too.
    present : bool
        Whether lessons are shown to a class, on a wall.

    Returns
    -------
    Path
        The folder.
    """
    source = shipped or places.lessons()
    place = folder / NAME
    shutil.copytree(PAGE, place / STATIC, ignore=shutil.ignore_patterns("__pycache__"))
    made = MAKE.read_text(encoding="utf-8")
    (place / STATIC / "make.js").write_text(f"{made}export {{ make, unbroken }};\n", encoding="utf-8")
    paths = sorted(source.rglob("*.ipynb"))
    books = {path: notebooks.read(path) for path in paths if ".ipynb_checkpoints" not in path.parts}
    code = sorted({one for book in books.values() for one in notebooks.code_of(book)})
    pages = []
    for path, book in books.items():
        mark = notebooks.mark_of(path)
        if mark.get("page") == notebooks.INSTRUCTOR and not instructor:
            continue
        label = path.relative_to(source)
        pages.append({**mark, "file": label.as_posix(), "title": _title(book)})
        (place / STATIC / "lessons" / label).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(path, place / STATIC / "lessons" / label)
    (place / STATIC / "shipped.js").write_text(_module(CODE=code, PAGES=pages, PRESENT=present), encoding="utf-8")
    named = f"{STATIC}-{_digest(place / STATIC)}"
    (place / STATIC).rename(place / named)
    (place / "package.json").write_text(json.dumps(_package(named)), encoding="utf-8")
    return folder


def _digest(folder: Path) -> str:
    """Letters that hang on every file of a folder and on its name there."""
    found = hashlib.sha256()
    for path in sorted(one for one in folder.rglob("*") if one.is_file()):
        found.update(f"{path.relative_to(folder).as_posix()}\n{path.stat().st_size}\n".encode())
        found.update(path.read_bytes())
    return found.hexdigest()[:16]


def _title(book: dict[str, Any]) -> str:
    """The first heading of a lesson."""
    return notebooks.source_of(book["cells"][0]).strip().partition("\n")[0].lstrip("# ")


def _module(**constants: Any) -> str:
    """A JavaScript module of constants. JSON is JavaScript since 2019."""
    return "".join(f"export const {name} = {json.dumps(value, indent=1)};\n" for name, value in constants.items())


def _package(static: str) -> dict[str, Any]:
    """What JupyterLab reads of an extension it did not build."""
    build = {"load": f"{static}/remoteEntry.js", "extension": "./extension"}
    return {"name": NAME, "version": steadyneedle.__version__, "jupyterlab": {"extension": True, "_build": build}}
