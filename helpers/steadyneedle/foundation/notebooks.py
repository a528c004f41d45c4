"""Notebook files as data: read, what a person wrote in them, clean of what only a live kernel can show.

A lesson carries a mark, `{"steadyneedle": {"lesson": "03"}}` in its metadata, and its cells carry the notebook format's
own locks. The lesson view shows marked notebooks as pages; a mark never gives leave to run anything.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from steadyneedle.foundation.plain_json import PlainJSONError, read_plain

VIEW = "application/vnd.jupyter.widget-view+json"
KEPT_METADATA = ("image/png", "steadyneedle")
MARK = "steadyneedle"
INSTRUCTOR, GLOSSARY, PAPER, ASSESSOR = "instructor", "glossary", "paper", "assessor"
"""What a page is that is no lesson: in the folder of that name, or the file of that name. The assessor's guide lies
among the instructor's pages."""
LOCKS = {"deletable": False, "editable": False}


LARGEST = 100_000_000
"""Bytes; a lesson whose cells were run is some megabytes."""


class NotebookError(ValueError):
    """A file is not a notebook; the sentence says what it is instead."""


def read(path: Path) -> dict[str, Any]:
    """A notebook as plain data.

    Raises
    ------
    NotebookError
        Not UTF-8, not JSON, or not a notebook with cells as Jupyter writes them.
    """
    return read_bytes(path.read_bytes(), path.name)


def read_bytes(data: bytes, name: str) -> dict[str, Any]:
    """A notebook as plain data, from the bytes of a file of this name.

    Raises
    ------
    NotebookError
        As `read`.
    """
    try:
        book, odd = read_plain(data)
    except PlainJSONError as error:
        raise NotebookError(f"{name} is damaged: it is no longer a notebook.") from error
    if not isinstance(book, dict) or not isinstance(book.get("cells"), list):
        raise NotebookError(f"{name} is damaged: it holds no cells.")
    if type(book.get("nbformat", 4)) is not int or book.get("nbformat", 4) != 4:
        raise NotebookError(f"{name} is damaged: it is no notebook of layout 4.")
    if type(book.get("nbformat_minor", 5)) is not int:
        raise NotebookError(f"{name} is damaged: its layout has no number.")
    if odd or not isinstance(book.get("metadata", {}), dict) or not all(map(_is_cell, book["cells"])):
        raise NotebookError(f"{name} is damaged: not all of its cells are cells.")
    try:
        as_text(book).encode("utf-8")
    except ValueError as error:  # half a pair of surrogates
        raise NotebookError(f"{name} is damaged: it holds signs that are none.") from error
    return book


def read_own(path: Path) -> dict[str, Any]:
    """A notebook of a folder in which anybody may have put anything: no link is followed, no pipe waited for.

    Raises
    ------
    NotebookError
        As `read`; or no file of its own, or one that may not be read.
    """
    if path.is_symlink() or not path.is_file():
        raise NotebookError(f"{path.name} is no file of its own: a link, a pipe or a folder.")
    try:
        if path.stat().st_size > LARGEST:
            raise NotebookError(f"{path.name} is larger than {LARGEST / 1e6:.0f} MB: no lesson is.")
        return read(path)
    except OSError as error:
        raise NotebookError(f"{path.name} cannot be read: {error.strerror or error}.") from error


def _is_cell(cell: Any) -> bool:
    """Whether Jupyter could open a cell: one without its metadata keeps the whole lesson shut."""
    if not isinstance(cell, dict) or not isinstance(cell.get("metadata"), dict):
        return False
    if not isinstance(cell.get("cell_type"), str) or not isinstance(cell.get("attachments", {}), dict):
        return False
    source, outputs = cell.get("source", ""), cell.get("outputs", [])
    lines = [source] if isinstance(source, str) else source
    if not isinstance(lines, list) or not all(isinstance(line, str) for line in lines):
        return False
    return isinstance(outputs, list) and all(map(_is_output, outputs))


def _is_output(output: Any) -> bool:
    return isinstance(output, dict) and isinstance(output.get("data", {}), dict)


def as_text(book: dict[str, Any]) -> str:
    """A notebook as Jupyter writes it: one space deep, keys in order, a newline at the end."""
    return json.dumps(book, indent=1, sort_keys=True, ensure_ascii=False) + "\n"


def source_of(cell: dict[str, Any]) -> str:
    """The source of a cell, whether kept as text or as lines."""
    source = cell.get("source", "")
    return source if isinstance(source, str) else "".join(source)


def printed_by(cell: dict[str, Any]) -> str:
    """What a cell of code printed, whether kept as text or as lines.

    >>> printed_by({"outputs": [{"output_type": "stream", "text": ["a\\n", "b"]}, {"output_type": "error"}]})
    'a\\nb'
    """
    texts = [one.get("text", "") for one in cell.get("outputs", [])]
    return "".join(text if isinstance(text, str) else "".join(map(str, text or ())) for text in texts)


def source_digest(book: dict[str, Any]) -> str:
    """Digest of the cell types and sources alone: what a person wrote, not what was run."""
    written = [[str(cell.get("cell_type")), source_of(cell).rstrip()] for cell in book["cells"]]
    return hashlib.sha256(json.dumps(written, ensure_ascii=False).encode("utf-8")).hexdigest()


def number_of(name: str) -> str:
    """The number of the lesson that a page's name begins with.

    >>> number_of("04b-finding-the-cause.ipynb")
    '04b'
    """
    return name.removesuffix(".ipynb").partition("-")[0]


def mark_of(path: Path) -> dict[str, str]:
    """The mark of a lesson, of an instructor's page, of the glossary or of a paper, by its name and its folder's.

    >>> mark_of(Path("03-specification-bands.ipynb")), mark_of(Path("instructor/03-for-the-instructor.ipynb"))
    ({'lesson': '03'}, {'lesson': '03', 'page': 'instructor'})
    """
    if path.stem == GLOSSARY:
        return {"lesson": GLOSSARY, "page": GLOSSARY}
    if path.parent.name == PAPER:
        return {"lesson": path.stem, "page": PAPER}
    mark = {"lesson": ASSESSOR if path.stem == ASSESSOR else number_of(path.name)}
    return {**mark, "page": INSTRUCTOR} if path.parent.name == INSTRUCTOR else mark


def code_of(book: dict[str, Any]) -> list[str]:
    """Sources of the code cells, in order."""
    return [source_of(cell) for cell in book["cells"] if cell.get("cell_type") == "code"]


def clean(book: dict[str, Any]) -> dict[str, Any]:
    """The notebook without widget views and widget state; the plain picture beside a view stays.

    >>> view = {VIEW: {}, "text/plain": "a dial"}
    >>> cell = {"cell_type": "code", "source": "", "outputs": [{"output_type": "display_data", "data": view}]}
    >>> clean({"cells": [cell], "metadata": {"widgets": {}}})["cells"][0]["outputs"][0]["data"]
    {'text/plain': 'a dial'}
    """
    metadata = {key: value for key, value in book.get("metadata", {}).items() if key != "widgets"}
    return {**book, "metadata": metadata, "cells": [_clean_cell(cell) for cell in book["cells"]]}


def _clean_cell(cell: dict[str, Any]) -> dict[str, Any]:
    if "outputs" not in cell:
        return cell
    outputs = []
    for output in cell["outputs"]:
        data = output.get("data")
        if isinstance(data, dict) and VIEW in data:
            data = {mime: value for mime, value in data.items() if mime != VIEW}
            if not data:
                continue
            output = {**output, "data": data}  # noqa: PLW2901
        outputs.append(output)
    return {**cell, "outputs": outputs}


def freshly_run(book: dict[str, Any], mark: dict[str, str]) -> dict[str, Any]:
    """A run notebook as it is committed: clean, marked, locked, counted 1, 2, 3, no noise in its metadata."""
    made = clean(book)
    count = 0
    for cell in made["cells"]:
        kept = {key: cell["metadata"][key] for key in ("jupyter", "tags") if key in cell["metadata"]}
        cell["metadata"] = {**LOCKS, **kept}
        if cell["cell_type"] != "code":
            continue
        count += 1
        cell["execution_count"] = count
        for output in cell["outputs"]:
            output.pop("transient", None)
            if "metadata" in output:
                output["metadata"] = {
                    key: output["metadata"][key] for key in KEPT_METADATA if key in output["metadata"]
                }
            if "execution_count" in output:
                output["execution_count"] = count
    made["metadata"] = {
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
        MARK: mark,
    }
    return made
