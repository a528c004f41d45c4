"""A grid: one short answer for each pair of a row and a column, its reason where the keyboard or the pointer is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from typing import Any

import traitlets

from steadyneedle.teaching.frame.publishing import FrameWidget, module_of, publish, style


@dataclass(frozen=True)
class GridAnswer:
    """What stands in a cell, and the sentence why."""

    words: str
    reason: str


@dataclass(frozen=True)
class GridPanel:
    """A grid to look answers up in.

    Parameters
    ----------
    title, corner : str
        What it shows, and what stands over the names of its rows.
    rows : tuple of str
        Names of the rows.
    groups : dict of str to tuple of str
        Name of a group of columns to the names of its columns; one group is shown at a time.
    cell : callable
        cell(row, column) -> GridAnswer; pure.
    """

    title: str
    corner: str
    rows: tuple[str, ...]
    groups: dict[str, tuple[str, ...]]
    cell: Callable[[str, str], GridAnswer]

    def spec(self) -> dict[str, Any]:
        """The grid as it goes to the page."""
        made = [[[self.cell(row, one) for one in columns] for row in self.rows] for columns in self.groups.values()]
        return {
            "title": self.title, "corner": self.corner, "rows": list(self.rows),
            "groups": [{"name": name, "columns": list(columns)} for name, columns in self.groups.items()],
            "cells": [[[one.words for one in line] for line in group] for group in made],
            "reasons": [[[one.reason for one in line] for line in group] for group in made],
        }  # fmt: skip


class GridWidget(FrameWidget):
    """A grid in the page; once it is there it needs no kernel."""

    _esm = module_of("make.js", "parts.js", "grid.js")
    _css = style()
    spec = traitlets.Dict().tag(sync=True)


def show_grid(panel: GridPanel) -> GridWidget:
    """Show a grid; on paper, and without a kernel, a table of each group."""
    spec = panel.spec()
    widget = GridWidget(spec=spec)
    plain: list[str] = [panel.title]
    html = [f"<p>{escape(panel.title)}</p>"]
    for group, cells in zip(spec["groups"], spec["cells"], strict=True):
        lines = [
            (panel.corner, *group["columns"]),
            *((row, *line) for row, line in zip(panel.rows, cells, strict=True)),
        ]
        plain += [group["name"], *("; ".join(line) for line in lines)]
        head, *body = ("".join(f"<{kind}>{escape(one)}</{kind}>" for one in line) for kind, line in _kinds(lines))
        rows = "".join(f"<tr>{one}</tr>" for one in body)
        html.append(f"<p>{escape(group['name'])}</p><table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>")
    publish(widget, {"text/html": "".join(html), "text/plain": "\n".join(plain)}, {})
    return widget


def _kinds(lines: list[tuple[str, ...]]) -> list[tuple[str, tuple[str, ...]]]:
    """Each line with the kind of its cells: the first is a head."""
    return [("td" if n else "th", line) for n, line in enumerate(lines)]
