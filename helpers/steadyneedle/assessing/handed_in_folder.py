"""What lies in the folder of handed-in files: what came back, and what was never handed in."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass, field
from pathlib import Path

from steadyneedle.assessing.handed_in_form import ENDING
from steadyneedle.assessing.paper_file import NAME

OF_THE_SYSTEM = (
    "thumbs.db", "desktop.ini", "system volume information", ".ds_store", ".directory", ".fseventsd", ".spotlight-v100"
)  # fmt: skip
LAID_BY_THE_SYSTEM = ("._", ".~lock.", ".Trash", ".nfs")
"""What Windows, macOS, a desktop or a network lays into a folder or on a stick: whole names, and beginnings."""

_PAPER = rf"[0-9]{{1,12}}-{NAME.pattern}"
_NEVER = re.compile(
    rf"\.{_PAPER}\.(?:answers|handed-in(?:-earlier-[0-9]+)?)\.json\.(?:lock|[0-9a-f]{{16}}\.part)|index\.csv"
)
"""What sitting and issuing leave, and nobody ever hands in."""
_BESIDE = re.compile(
    rf"({_PAPER})(?:\.ipynb|\.answers\.json|\.answers\.damaged-[0-9A-Za-z-]+\.json|\.handed-in-earlier-[0-9]{{1,4}}\.json)"
)
"""What lies beside a handed-in file where the paper was sat: the paper, its answers, what was handed in before."""


@dataclass
class InTheFolder:
    """Names in the folder: those to mark, and those of ours that were left out, for they were not handed in."""

    to_mark: list[str] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)


_AS_SENT = re.compile(r" ?\([0-9]{1,3}\)(?=\.[a-z])")
"""What mail programs and browsers put before an ending where a name was there already."""


def beside_of(name: str) -> str:
    """The stem of the paper beside whose handed-in file such a name lies where it was sat; empty for other names.

    >>> beside_of("104-creep.ipynb"), beside_of("104-creep (1).ipynb"), beside_of("104-creep.handed-in.json")
    ('104-creep', '104-creep', '')
    """
    match = _BESIDE.fullmatch(name) or _BESIDE.fullmatch(_AS_SENT.sub("", name))
    return match[1] if match else ""


def looked_through(folder: Path) -> InTheFolder:
    """Everything in a folder but what a system lays there unasked, in order.

    The paper, its answers and what was handed in before are left out where the file handed in lies beside them; without
    it they are looked at, so that somebody is told.

    Raises
    ------
    OSError
        The folder cannot be read.
    """
    names, found = sorted(os.listdir(folder)), InTheFolder()  # noqa: PTH208 - names alone
    there = set(names)
    for name in names:
        if name.lower() in OF_THE_SYSTEM or name.startswith(LAID_BY_THE_SYSTEM):
            continue
        beside = _BESIDE.fullmatch(name)
        ours = _NEVER.fullmatch(name) or (beside and f"{beside[1]}{ENDING}" in there)
        (found.left_out if ours else found.to_mark).append(name)
    return found
