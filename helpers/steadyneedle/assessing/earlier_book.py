"""Notebooks of earlier markings that show more of what was asked than today's workbook can: kept, to be read.

A record holds no code, so nothing in it turns into something else when a later workbook runs it; a seal shows whether
it still says what it said.
"""

from __future__ import annotations

import html
import re
from typing import Any

from steadyneedle.assessing.as_shown_safely import as_html
from steadyneedle.assessing.graded_book import ANOTHER_TODAY, RUN_IT, seal_in
from steadyneedle.assessing.marking import STOOD, PaperMark
from steadyneedle.assessing.moved_marks import in_a_line
from steadyneedle.assessing.results_folder import BEFORE, GRADED, ResultsFolder
from steadyneedle.assessing.seals import book_seal, fits
from steadyneedle.foundation import notebooks
from steadyneedle.foundation.notebooks import LOCKS, MARK, NotebookError, printed_by, source_of

PAGE = "as marked before"
TO_BE_READ = (
    "**This is the notebook of an earlier marking, kept as a record: read it. It holds nothing to run.** Today's "
    "workbook has other questions, or gives other marks, than are shown here; {name} beside this file says which marks "
    "count now."
)
WAS_CHANGED = (
    "**It was run again or changed after it was marked,** so it may show something else than was marked. If you have a "
    "copy of the results of that day, read that."
)
CHANGED_BEFORE = (
    "Kept as a record, and run again or changed after it was marked: {}. Look for your copy of the results of that day."
)
CHANGED_SINCE = (
    "No longer as the workbook kept it: {}. Put your copy back, for today's workbook cannot show again what was asked."
)
_PICTURE = re.compile(r"!\[([^\]\n]*)\]\([^)\n]*\)")
_SLANTED = re.compile(r"^\*([^*\n]+)\*", re.MULTILINE)
_PRINTED = re.compile(r"<pre>(.*?)</pre>")
PRINTED, COMPUTED = "What it printed:", "What computed it:"


class EarlierBooks:
    """The notebooks of a folder of results that an earlier marking wrote.

    Parameters
    ----------
    out : ResultsFolder
        The results.
    secret : bytes
        The cohort's.
    """

    def __init__(self, out: ResultsFolder, secret: bytes) -> None:
        self._out, self._secret = out, secret
        self._changed_before: list[str] = []
        self._changed_since: list[str] = []

    def keep(self, name: str, marked: PaperMark) -> str:
        """Keep the notebook of a candidate before a new one takes its place, where it shows more of what was asked.

        Parameters
        ----------
        name : str
            What the notebook is called.
        marked : PaperMark
            What the new one will show.

        Returns
        -------
        str
            Where the kept one lies, from now or from earlier; empty where none does.
        """
        less = {one.item.number for one in marked.items if one.another or one.worth.outcome == STOOD}
        if not less:
            return ""
        kept = name.replace(".ipynb", f"{BEFORE}.ipynb")
        if self._out.holds(f"{GRADED}/{kept}"):
            book = _book_in(self._out.graded(kept))
            if book is None or not fits(seal_in(book), book_seal(self._secret, book)):
                self._changed_since.append(f"{GRADED}/{kept}")
            return f"{GRADED}/{kept}"
        book = _book_in(self._out.graded(name))
        if book is None or not less & _shown_as_asked(book):
            return ""
        sealed = seal_in(book)
        changed = sealed is not None and not fits(sealed, book_seal(self._secret, book))
        self._changed_before += [f"{GRADED}/{kept}"] if changed else []
        self._out.keep_graded(kept, self._as_record(book, name, changed))
        return f"{GRADED}/{kept}"

    def as_asked(self, kept: str, numbers: list[int]) -> dict[int, tuple[str, ...]]:
        """What a kept notebook shows of some questions, line by line: what was asked, and what was expected.

        Parameters
        ----------
        kept : str
            Where it lies, from `keep`; empty where none does.
        numbers : list of int
            Of the questions.
        """
        book = _book_in(self._out.graded(kept.removeprefix(f"{GRADED}/"))) if kept and numbers else None
        if book is None:
            return {}
        sources = {str(cell.get("id")): source_of(cell) for cell in book["cells"]}
        return {one: _lines_of(sources.get(f"question-{one}", ""), sources.get(f"mark-{one}", "")) for one in numbers}

    def said(self) -> list[str]:
        """What is to be said of notebooks that are not as the workbook wrote them."""
        found = ((CHANGED_BEFORE, self._changed_before), (CHANGED_SINCE, self._changed_since))
        return [words.format(in_a_line(names, ", ")) for words, names in found if names]

    def _as_record(self, book: dict[str, Any], name: str, changed: bool) -> bytes:
        """A notebook to be read: each cell of code becomes the words that it printed, with its lines below them."""
        head = "\n\n".join([TO_BE_READ.format(name=name), *([WAS_CHANGED] if changed else [])])
        cells = [_words("record", head), *map(_to_read, book["cells"])]
        kept: dict[str, Any] = {"cells": cells, "metadata": {MARK: {"page": PAGE}}, "nbformat": 4, "nbformat_minor": 5}
        kept["metadata"][MARK]["seal"] = book_seal(self._secret, kept)
        return notebooks.as_text(kept).encode("utf-8")


def _book_in(data: bytes) -> dict[str, Any] | None:
    """The notebook that a file holds; None where it holds none."""
    try:
        return notebooks.read_bytes(data, "")
    except NotebookError:
        return None


def _shown_as_asked(book: dict[str, Any]) -> set[int]:
    """Numbers of the questions that a graded notebook shows as they were asked, marked by the rules of that day."""
    sources = {str(cell.get("id")): source_of(cell) for cell in book["cells"]}
    numbers = {int(one.removeprefix("mark-")) for one in sources if one[:5] == "mark-" and one[5:].isdecimal()}
    return {
        number
        for number in numbers
        if ANOTHER_TODAY not in sources.get(f"question-{number}", ANOTHER_TODAY)
        and f"paper.stood({number}," not in sources[f"mark-{number}"]
    }


def _lines_of(question: str, mark: str) -> tuple[str, ...]:
    """A question as it was asked and what was expected, out of the two cells of a record; none where it shows less."""
    asked = question.partition("\n\n**Answered:**")[0].partition("\n\n")[2]
    if not asked or ANOTHER_TODAY in asked:
        return ()
    plain = _PICTURE.sub(r"The picture: \1", _SLANTED.sub(r"\1", asked))
    printed = _PRINTED.search(mark)
    right = html.unescape(printed[1].replace("<br>", "\n")).partition("\n\n")[0] if printed else ""
    expected = right.splitlines() if right.startswith("Expected: ") else []
    return (*(line for line in plain.splitlines() if line), *expected)


def _to_read(cell: dict[str, Any]) -> dict[str, Any]:
    identity, source = str(cell.get("id", "")), source_of(cell)
    if cell["cell_type"] != "code":
        return _words(identity, source.replace(RUN_IT, "").rstrip())
    parts = ((PRINTED, printed_by(cell)), (COMPUTED, source))
    told = [f"{head}\n\n<pre>{as_html(text.rstrip())}</pre>" for head, text in parts if text]
    return _words(identity, "\n\n".join(told))


def _words(identity: str, text: str) -> dict[str, Any]:
    return {"cell_type": "markdown", "id": identity, "metadata": dict(LOCKS), "source": text.splitlines(keepends=True)}
