"""What a server of ours does before it saves a lesson: its outputs stay those it was shipped with."""

from __future__ import annotations

from typing import Any

from steadyneedle.foundation import notebooks, places


def keep_plain(model: dict[str, Any], **_: Any) -> None:
    """Keep what was run out of a lesson that is about to be saved; other notebooks are left alone.

    Widget views show errors without the kernel that made them, and answers live in their own file.
    """
    book = model.get("content")
    if model.get("type") != "notebook" or not isinstance(book, dict):
        return
    mark = book.get("metadata", {}).get(notebooks.MARK)
    if not isinstance(mark, dict) or "lesson" not in mark:
        return
    shipped = _outputs_shipped(mark)
    book["metadata"].pop("widgets", None)
    for cell in book.get("cells", []):
        if cell.get("cell_type") == "code":
            cell["outputs"], cell["execution_count"] = shipped.get(notebooks.source_of(cell), ([], None))
            cell.get("metadata", {}).pop("execution", None)


def _outputs_shipped(mark: dict[str, Any]) -> dict[str, tuple[list[Any], int | None]]:
    """Outputs and execution count of every code cell of the shipped notebook with that mark, by its source."""
    for path in places.lessons().rglob("*.ipynb"):
        if notebooks.mark_of(path) == mark:
            cells = [cell for cell in notebooks.read(path)["cells"] if cell["cell_type"] == "code"]
            return {notebooks.source_of(cell): (cell["outputs"], cell["execution_count"]) for cell in cells}
    return {}
