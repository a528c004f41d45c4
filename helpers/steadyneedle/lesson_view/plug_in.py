"""The plug-in that JupyterLab loads: the files of `page/`, and what the shipped lessons hold."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import steadyneedle
from steadyneedle.foundation import notebooks, places

NAME = "steadyneedle-lesson-view"
PAGE = Path(__file__).parent / "page"
MAKE = Path(steadyneedle.__file__).parent / "teaching" / "frame" / "make.js"


def lay_plug_in(folder: Path, shipped: Path | None = None, instructor: bool = False, present: bool = False) -> Path:
    """Lay the plug-in into a folder for JupyterLab's `extra_labextensions_path`.

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
    shutil.copytree(PAGE, place / "static", ignore=shutil.ignore_patterns("__pycache__"))
    made = MAKE.read_text(encoding="utf-8")
    (place / "static" / "make.js").write_text(f"{made}export {{ make }};\n", encoding="utf-8")
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
        (place / "static" / "lessons" / label).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(path, place / "static" / "lessons" / label)
    (place / "static" / "shipped.js").write_text(_module(CODE=code, PAGES=pages, PRESENT=present), encoding="utf-8")
    (place / "package.json").write_text(json.dumps(_package()), encoding="utf-8")
    return folder


def _title(book: dict[str, Any]) -> str:
    """The first heading of a lesson."""
    return notebooks.source_of(book["cells"][0]).strip().partition("\n")[0].lstrip("# ")


def _module(**constants: Any) -> str:
    """A JavaScript module of constants. JSON is JavaScript since 2019."""
    return "".join(f"export const {name} = {json.dumps(value, indent=1)};\n" for name, value in constants.items())


def _package() -> dict[str, Any]:
    """What JupyterLab reads of an extension it did not build."""
    build = {"load": "static/remoteEntry.js", "extension": "./extension"}
    return {"name": NAME, "version": steadyneedle.__version__, "jupyterlab": {"extension": True, "_build": build}}
