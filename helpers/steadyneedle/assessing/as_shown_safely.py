"""Words of a stranger where something might run them: a cell of a table, a page, a line of code.

What somebody typed, or called a file, is shown so that no spreadsheet takes it for a formula, no browser for a tag, no
notebook for code.
"""

from __future__ import annotations

import re
import unicodedata

LONGEST_NAME = 80
_IN_A_NAME = frozenset(" ._-()")
_IN_HTML = frozenset("&<>\"'$\\`*_#[](){}|~=!:@")
_FORMULA = re.compile(r"""(?<![^;,|])(?=[\s"]*[=+@|%\uff00-\uff20-])""")
"""Where a cell may begin, whatever parts the columns, and a formula with it; wide signs, as Chinese ones, too."""
_KEPT = re.compile(rf"(?<![^;,|])'{_FORMULA.pattern.partition(')')[2]}")
_WEB = re.compile(r"(?i)\b(www)\.")
"""What Markdown makes a link of without any sign of its own."""
_NO_SIGN = "\N{REPLACEMENT CHARACTER}"


def plain_name(name: str) -> str:
    """The name of a file as a sentence shows it: letters, digits, blanks, . _ - and brackets; ? for the rest.

    >>> plain_name("101-creep (1).json"), plain_name("=cmd|' /C calc'!A0\\n<b>")
    ('101-creep (1).json', '?cmd?? ?C calc??A0??b?')
    """
    seen = "".join(sign if sign.isalnum() or sign in _IN_A_NAME else "?" for sign in name[: LONGEST_NAME + 1])
    return seen if len(seen) <= LONGEST_NAME else f"{seen[: LONGEST_NAME - 1]}…"


def as_cell(text: str) -> str:
    """A cell of a CSV file that no spreadsheet takes for a formula: an apostrophe stands before what begins one.

    A table is opened with another separator than it was written with, too, so what follows one is a beginning. No cell
    holds a line end or a tab.

    >>> as_cell("=1+1"), as_cell(" @sum"), as_cell("9.8 bar"), as_cell("I write it down;=1+1")
    ("'=1+1", "' @sum", '9.8 bar', "I write it down;'=1+1")
    """
    return _FORMULA.sub("'", "".join(sign if sign.isprintable() else " " for sign in text))


def of_cell(cell: str) -> str:
    """What was typed into a cell, without the apostrophes that `as_cell` set.

    >>> of_cell("'=1+1"), of_cell("no rule;'-1"), of_cell("the second stage's lever")
    ('=1+1', 'no rule;-1', "the second stage's lever")
    """
    return _KEPT.sub("", cell)


def as_html(text: str) -> str:
    """Typed text for a page and for Markdown: each sign that means something there becomes its number.

    >>> as_html("<b>1</b>"), as_html("9.8 bar"), as_html("two\\nlines")
    ('&#60;b&#62;1&#60;/b&#62;', '9.8 bar', 'two<br>lines')
    >>> as_html("www.example.org")
    'www&#46;example.org'
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return _WEB.sub(r"\1&#46;", "<br>".join("".join(map(_sign_as_html, line)) for line in lines))


def _sign_as_html(sign: str) -> str:
    if not sign.isprintable():
        blank = sign == "\t" or unicodedata.category(sign) == "Zs"  # of any width
        return " " if blank else _NO_SIGN
    return f"&#{ord(sign)};" if sign in _IN_HTML else sign


def as_literal(text: str) -> str:
    """Typed text as a line of Python holds it, and no page or notebook takes for anything else.

    >>> as_literal("9.8 bar"), as_literal('</script>"')
    ("'9.8 bar'", '\\'\\\\x3c/script\\\\x3e"\\'')
    """
    written = repr(text)
    for sign in "<>&":
        written = written.replace(sign, f"\\x{ord(sign):02x}")
    return written
