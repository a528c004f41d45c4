"""An answer of several keys as one text: as a form sends it, as it is kept and handed in, as marking reads it.

Several of several: `filter + hose`. An order: `vent > shut > open`. A verdict with its reason: `keep because slow`.
A place that is still open is `-`. Whatever else stands there is refused in a sentence that hangs on no right answer.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable

SEVERAL, ORDER, BECAUSE = " + ", " > ", " because "
OPEN = "-"
"""What stands in a place that nothing was chosen for."""
KEY = re.compile("[a-z0-9]{1,16}")
"""What a key may be: one word, so that nothing in a text can be taken for two."""
LONGEST = 400
"""Characters of such an answer."""


class KeysError(ValueError):
    """A text is no answer of this kind; the sentence says what to do."""


def as_several(keys: Iterable[str]) -> str:
    """Several keys in their one order.

    >>> as_several({"hose", "filter"})
    'filter + hose'
    """
    return SEVERAL.join(sorted(keys))


def as_order(keys: Iterable[str]) -> str:
    """Keys in an order.

    >>> as_order(("vent", "open"))
    'vent > open'
    """
    return ORDER.join(keys)


def as_because(verdict: str, reason: str) -> str:
    """A verdict and its reason.

    >>> as_because("keep", "slow")
    'keep because slow'
    """
    return BECAUSE.join((verdict, reason))


def read_several(text: str, known: Collection[str]) -> frozenset[str]:
    """The keys of a text.

    >>> sorted(read_several("hose + filter", ("filter", "hose", "seat")))
    ['filter', 'hose']

    Raises
    ------
    KeysError
        Too long, or something that is no option, or one option twice.
    """
    keys = _split(text, SEVERAL)
    if not set(keys) <= set(known):
        raise KeysError("It names something that is none of the options. Tick those that are right.")
    if len(set(keys)) < len(keys):
        raise KeysError("It names one option twice. Tick those that are right.")
    return frozenset(keys)


def read_order(text: str, known: Collection[str]) -> tuple[str, ...]:
    """The keys of a text, all of those known, in their order.

    >>> read_order("shut > vent > open", ("open", "shut", "vent"))
    ('shut', 'vent', 'open')

    Raises
    ------
    KeysError
        Too long, a step that is none, one step in two places, or a place that is still open.
    """
    keys = _split(text, ORDER)
    placed = [one for one in keys if one != OPEN]
    if not set(placed) <= set(known) or len(keys) > len(known):
        raise KeysError("It names something that is none of the steps. Choose a step for each place.")
    if len(set(placed)) < len(placed):
        raise KeysError("One step stands in two places. Give each step one place.")
    if len(placed) < len(known):
        raise KeysError("A place is still open. Choose a step for each place.")
    return tuple(placed)


def read_because(text: str, verdicts: Collection[str], reasons: Collection[str]) -> tuple[str, str]:
    """The verdict and the reason of a text.

    >>> read_because("keep because slow", ("keep",), ("slow",))
    ('keep', 'slow')

    Raises
    ------
    KeysError
        Too long, something that is no option, or one of the two still open.
    """
    keys = _split(text, BECAUSE)
    verdict, reason = keys if len(keys) == 2 else ("", "")
    if not {verdict} <= {OPEN, *verdicts} or not {reason} <= {OPEN, *reasons}:
        raise KeysError("It names something that is none of the options. Choose a verdict and a reason.")
    if OPEN in (verdict, reason):
        raise KeysError(f"Choose a {'reason' if reason == OPEN else 'verdict'}, too. Each needs the other.")
    return verdict, reason


def _split(text: str, between: str) -> list[str]:
    if len(text) > LONGEST:
        raise KeysError("It is longer than any answer to this question. Choose again.")
    return text.split(between)
