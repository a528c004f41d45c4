"""Lines of a note as a page shows them, and as plain text."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable
from html import escape

KINDS = {"- ": ("ul", "li"), "> ": ("blockquote", "p")}
_BOLD = re.compile(r"\*\*(.+?)\*\*")


def as_html(lines: Iterable[str]) -> str:
    """Paragraphs, bullets and formulas.

    >>> as_html(["So:", "- **one**", "- two < three"])
    '<p>So:</p><ul><li><strong>one</strong></li><li>two &lt; three</li></ul>'
    """
    made = []
    for kind, group in itertools.groupby(lines, key=lambda line: line[:2] if line[:2] in KINDS else ""):
        around, each = KINDS.get(kind, ("", "p"))
        inner = "".join(f"<{each}>{_bold(line.removeprefix(kind))}</{each}>" for line in group)
        made.append(f"<{around}>{inner}</{around}>" if around else inner)
    return "".join(made)


def as_plain(lines: Iterable[str]) -> str:
    """The same without its signs for bold and formula.

    >>> as_plain(["> p = **9**"])
    'p = 9'
    """
    return "\n".join(_BOLD.sub(r"\1", line.removeprefix("> ")) for line in lines)


def _bold(line: str) -> str:
    return _BOLD.sub(r"<strong>\1</strong>", escape(line))
