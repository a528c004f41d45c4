"""Clock and bill of a job: what each test costs after the ones before, and what mending by a cause costs. Invented."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from steadyneedle.bench.diagnosis.examination_list import lies_open, price
from steadyneedle.foundation import datasets


@dataclass(frozen=True)
class Bill:
    """Minutes on the bench and money in the invented currency.

    >>> Bill(10, 2) + Bill(5, 0)
    Bill(minutes=15, money=2)
    """

    minutes: float = 0.0
    money: float = 0.0

    def __add__(self, other: Bill) -> Bill:
        return Bill(self.minutes + other.minutes, self.money + other.money)


def cost(test: str, done: Sequence[str]) -> Bill:
    """What a test costs after others.

    Parameters
    ----------
    test : str
        Key of a test.
    done : sequence of str
        Keys of those that were done, in order.

    Returns
    -------
    Bill
        As `examination_list.price` says.

    Examples
    --------
    >>> cost("look_seat", []).minutes > cost("look_seat", ["look_edge"]).minutes
    True
    """
    found = price(test, done)
    return Bill(found.minutes, found.money)


def spent(tests: Sequence[str]) -> list[Bill]:
    """What was spent after each of some tests, all told.

    Parameters
    ----------
    tests : sequence of str
        Keys, in the order in which they were done.

    Returns
    -------
    list of Bill
        As many as there are tests.

    Examples
    --------
    >>> [one.minutes for one in spent(["tap", "tap"])]
    [1.0, 2.0]
    """
    bills: list[Bill] = []
    for n, test in enumerate(tests):
        bills.append((bills[-1] if bills else Bill()) + cost(test, tests[:n]))
    return bills


def total(tests: Sequence[str]) -> Bill:
    """What all of some tests cost."""
    return spent(tests)[-1] if tests else Bill()


FITTED = {
    "new_seat": ("seat_nicked", ("seat_dished", "seat_nicked", "grit", "creep_and_burp")),
    "new_spring": ("spring_weak", ("spring_weak", "spring_wrong")),
}
"""Test to the repair whose part it tries, and the repairs that take such a part."""


def mending(cause: str, tried: Sequence[str] = ()) -> Bill:
    """What it costs to mend a cause: parts and time. Of a pair, both; parts of a cause that it was not are lost.

    Parameters
    ----------
    cause : str
        Key of a cause.
    tried : sequence of str
        Tests that were done: a part that was bought to try is not bought again.

    Returns
    -------
    Bill
        Minutes and money.

    Raises
    ------
    ValueError
        There is no such cause.

    Examples
    --------
    >>> mending("sound").money, mending("seat_nicked+gauge_hose") == mending("seat_nicked") + mending("gauge_hose")
    (0.0, True)
    >>> mending("seat_nicked").money, mending("seat_nicked", ["watch_full", "new_seat"]).money
    (14.0, 0.0)
    """
    known = _repairs()
    keys: Iterable[str] = [cause] if cause in known else cause.split("+")
    whole = Bill()
    for key in keys:
        if key not in known:
            raise ValueError(f"There is no cause '{key}'; there are {', '.join(known)}.")
        paid = [part for test, (part, takes) in FITTED.items() if test in tried and key in takes]
        whole += dataclasses.replace(known[key], money=known[key].money - sum(known[part].money for part in paid))
    return whole


OUTSIDE = (
    "sound", "set_low", "set_high", "second_stage_leaks", "filter_clogged", "valve_part_open", "chamber_blocked",
    "chamber_iced", "seat_setting", "gauge_high", "gauge_sticks", "gauge_hose",
)  # fmt: skip
"""Causes that are put right without opening the stage; the minutes of every other repair hold closing and watching."""


def closing(cause: str, done: Sequence[str]) -> Bill:
    """What closing an open stage and a last watch cost at the end, where mending by a cause does not pay them.

    Parameters
    ----------
    cause : str
        Key of a cause.
    done : sequence of str
        Tests that were done, in order.

    Returns
    -------
    Bill
        Nothing where the stage is closed.

    Examples
    --------
    >>> closing("sound", ["look_seat"]).minutes, closing("grit", ["look_seat"]).minutes, closing("sound", []).minutes
    (20.0, 0.0, 0.0)
    """
    outside = all(key in OUTSIDE for key in cause.split("+"))
    return cost("watch_full", done) if outside and lies_open(done) else Bill()


@cache
def _repairs() -> dict[str, Bill]:
    table = datasets.table("diagnosis/repairs", ("minutes", "money"))
    return {
        cause: Bill(minutes, money)
        for cause, minutes, money in zip(table["cause"], table["minutes"], table["money"], strict=True)
    }
