"""Orders of testing that the trade has by habit, and a trainee who keeps to one of them whatever a test shows."""

from __future__ import annotations

from functools import cache

from steadyneedle.foundation import datasets
from steadyneedle.foundation.draws import Draws
from steadyneedle.jobs.best_path import Adviser, Findings, Knowledge, computed_with

ENOUGH = 0.95
"""How sure somebody is who stops."""

RANDOM = "random"


@cache
def habits() -> dict[str, tuple[str, ...]]:
    """Each habit's order of tests, by name.

    >>> [order[0] for order in habits().values()]
    ['watch_full', 'watch_full', 'watch_full']
    """
    table = datasets.table("diagnosis/habits", ("place",))
    orders: dict[str, list[str]] = {}
    for habit, test in zip(table["habit"], table["test"], strict=True):
        orders.setdefault(habit, []).append(test)
    return {habit: tuple(tests) for habit, tests in orders.items()}


def keeps_to(habit: str, number: int = 0, enough: float = ENOUGH) -> Adviser:
    """Somebody who tests in the order of a habit, then all that is left, and stops once sure enough.

    Parameters
    ----------
    habit : str
        A name of `habits`, or `RANDOM` for an order drawn anew.
    number : int
        Which random order.
    enough : float
        The chance at which they stop, 0 to 1.

    Returns
    -------
    callable
        From what is known and found to the next test; None once sure, or when all is done.

    Raises
    ------
    ValueError
        There is no such habit.

    Examples
    --------
    >>> callable(keeps_to("outside first"))
    True
    """
    if habit != RANDOM and habit not in habits():
        raise ValueError(f"There is no habit '{habit}'; there are {'; '.join((*habits(), RANDOM))}.")

    def next_test(known: Knowledge, findings: Findings) -> str | None:
        if computed_with(known, findings).of_leader >= enough:
            return None
        done = {test for test, _ in findings}
        if habit == RANDOM:
            order = tuple(Draws("a random order", number).order(known.tests))
        else:
            order = (*(test for test in habits()[habit] if test in known.tests), *known.tests)
        return next((test for test in order if test not in done), None)

    return next_test
