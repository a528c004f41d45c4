"""What a customer says, and what is known of the regulator's past. It may mislead; it names no fault."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any

from steadyneedle.foundation import datasets
from steadyneedle.foundation.draws import Draws

MEETS = ("climbs", "starves", "leaks", "wanders", "unnoticed")
"""What a customer may meet of a fault; columns of `datasets/diagnosis/complaints.csv`."""

ABOUT = ("serviced", "word", "stored")
"""Of what a history tells, in its order."""

NEEDS = {"seat_setting": "new_seat", "spring_wrong": "opened"}
"""Fault to what must have happened before: a new seat lately, or somebody inside with a wrong part."""


def complaint_drawn(faults: Iterable[str], draws: Draws) -> str:
    """What a customer says of a regulator with these faults.

    Parameters
    ----------
    faults : iterable of str
        Keys of faults; of two, one is met.
    draws : Draws
        Which customer.

    Returns
    -------
    str
        A sentence or two, in the customer's words.

    Raises
    ------
    ValueError
        There is no such fault in `datasets/diagnosis/customers_meet.csv`.

    Examples
    --------
    >>> complaint_drawn(["seat_nicked"], Draws("a customer", 4))
    'It was fine when I put it away two years ago.'
    """
    met = [_met()[key] if key in _met() else _refuse(key) for key in faults]
    column = draws.one_of(met) if met else MEETS[-1]
    table = datasets.table("diagnosis/complaints", MEETS)
    return str(table["words"][_weighted(table[column], draws)])


def about_complaint(words: str) -> str:
    """What a complaint can and cannot say, for the debrief; empty where its words are in no table.

    >>> about_complaint("A friend breathed from it and did not like it. He could not say why.")
    'A friend who did not like it has measured nothing.'
    """
    table = datasets.table("diagnosis/complaints")
    return str(dict(zip(table["words"], table["about"], strict=True)).get(words, ""))


def history_drawn(draws: Draws, faults: Iterable[str] = (), complaint: str = "") -> str:
    """When a regulator was serviced, by whose word, and where it is kept.

    It has nothing to do with what is wrong, but it can have happened: a seat that still sets was put in lately, a card
    has a date on it, and what lay for two years was not serviced last month.

    Parameters
    ----------
    draws : Draws
        Which regulator.
    faults : iterable of str
        Keys of what is wrong.
    complaint : str
        What the customer says of it, in words.

    Returns
    -------
    str
        Two sentences.

    Examples
    --------
    >>> history_drawn(Draws("a history", 1))
    'Serviced eleven months ago; a stamped card says so. It hangs by its first stage in a garage.'
    """
    table = datasets.table("diagnosis/histories", ("weight",))
    rows = [{name: cells[n] for name, cells in table.items()} for n in range(len(table["about"]))]
    of = {about: [row for row in rows if row["about"] == about] for about in ABOUT}
    told = {about: _one_of(of[about], draws) for about in ABOUT}
    # what cannot have happened is drawn once more; everything else stays as it was drawn
    needs = {NEEDS[key] for key in faults if key in NEEDS}
    key = _key_of(complaint)
    fit = [
        row for row in of["serviced"] if key not in row["not_with"].split() and all(row[one] == "yes" for one in needs)
    ]
    if told["serviced"] not in fit:
        told["serviced"] = _one_of(fit, draws)
    fit = [row for row in of["word"] if row["by"] in told["serviced"]["by"].split()]
    if told["word"] not in fit:
        told["word"] = _one_of(fit, draws)
    return f"{told['serviced']['words']}; {told['word']['words']}. {told['stored']['words']}"


def _one_of(rows: Sequence[dict[str, Any]], draws: Draws) -> dict[str, Any]:
    return rows[_weighted([row["weight"] for row in rows], draws)]


def _key_of(complaint: str) -> str:
    table = datasets.table("diagnosis/complaints")
    return str(dict(zip(table["words"], table["complaint"], strict=True)).get(complaint, ""))


@cache
def _met() -> dict[str, str]:
    table = datasets.table("diagnosis/customers_meet")
    return dict(zip(table["fault"], table["meets"], strict=True))


def _refuse(key: str) -> str:
    raise ValueError(f"Nobody says what a customer meets of '{key}'; there are {', '.join(_met())}.")


def _weighted(weights: Sequence[float], draws: Draws) -> int:
    """A place among weights, each as likely as its weight."""
    left = draws.fraction() * sum(weights)
    for place, weight in enumerate(weights):
        left -= weight
        if left < 0:
            return place
    return len(weights) - 1
