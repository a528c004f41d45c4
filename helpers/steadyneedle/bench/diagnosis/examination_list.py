"""The examinations that a bench offers: what each is, needs and risks, and what it costs after what was done before."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from steadyneedle.foundation import datasets
from steadyneedle.physics.stages import FirstStage

NEEDS_DIAPHRAGM = ("soap_rim", "look_land", "loupe_land", "look_diaphragm")
NEEDS_OPEN_CHAMBER = ("look_chamber", "pot")
"""A sealed chamber cannot be looked into, and hides nothing that a pressure pot would show."""


@dataclass(frozen=True)
class Examination:
    """One row of `datasets/diagnosis/tests.csv`.

    `minutes` on a stage that is closed and `minutes_open` on one that is open: opening it, or closing it again, is in
    them. `money` is in the invented currency of the jobs. `leaves_open` says that the stage lies open afterwards,
    `resets` that its setting is lost and made again; both end the untouched state.
    """

    key: str
    name: str
    kind: str
    minutes: float
    minutes_open: float
    money: float
    leaves_open: bool
    resets: bool
    needs: str
    risks: str

    @property
    def opens(self) -> bool:
        """Whether it opens the stage."""
        return self.leaves_open or self.key in ("new_seat", "new_spring")


@dataclass(frozen=True)
class Price:
    """What an examination costs now: bench minutes, money, and whether it opens a stage that was closed until now."""

    minutes: float
    money: float
    opens: bool


@cache
def _all() -> dict[str, Examination]:
    columns = datasets.table("diagnosis/tests", ("minutes", "minutes_open", "money"))
    made = {}
    for number, key in enumerate(columns["test"]):
        row = {name: cells[number] for name, cells in columns.items()}
        made[key] = Examination(
            key, row["name"], row["kind"], row["minutes"], row["minutes_open"], row["money"],
            row["leaves_open"] == "yes", row["resets"] == "yes", row["needs"], row["risks"],
        )  # fmt: skip
    return made


@cache
def tests(design: str) -> tuple[str, ...]:
    """Keys of the examinations that a design allows.

    Parameters
    ----------
    design : str
        Name of a first stage.

    Returns
    -------
    tuple of str
        Keys of `datasets/diagnosis/tests.csv`, in its order.

    Raises
    ------
    ValueError
        There is no such design; the sentence names those there are.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> "adjuster" in tests("Alder"), "look_diaphragm" in tests("Juniper")
    (False, True)
    """
    stage = FirstStage.named(design)
    lacks = set()
    if stage.kind != "diaphragm":
        lacks |= set(NEEDS_DIAPHRAGM)
    if stage.sealed:
        lacks |= set(NEEDS_OPEN_CHAMBER)
    if not stage.adjuster:
        lacks.add("adjuster")
    return tuple(key for key in _all() if key not in lacks)


def examination(key: str) -> Examination:
    """The examination of that key.

    Parameters
    ----------
    key : str
        Key of an examination.

    Returns
    -------
    Examination
        Minutes, money, needs and risks.

    Raises
    ------
    ValueError
        There is none; the sentence names those there are.

    References
    ----------
    `datasets/diagnosis/tests.csv`: invented minutes and money.

    Examples
    --------
    >>> examination("tap").minutes
    1.0
    """
    found = _all().get(key) if isinstance(key, str) else None
    if found is None:
        near = difflib.get_close_matches(str(key), _all(), n=1)
        hint = f" Did you mean '{near[0]}'?" if near else ""
        raise ValueError(f"There is no test '{key}'.{hint} There are {', '.join(_all())}.")
    return found


def examinations(design: str) -> tuple[Examination, ...]:
    """The examinations that a design allows.

    Parameters
    ----------
    design : str
        Name of a first stage.

    Returns
    -------
    tuple of Examination
        In the order of `tests`.

    Raises
    ------
    ValueError
        There is no such design.

    References
    ----------
    As `tests`.

    Examples
    --------
    >>> examinations("Alder")[0].key
    'watch_full'
    """
    return tuple(_all()[key] for key in tests(design))


def lies_open(done: Sequence[str]) -> bool:
    """Whether the stage lies open after these examinations.

    Parameters
    ----------
    done : sequence of str
        Keys of examinations, in the order in which they were done.

    Returns
    -------
    bool
        True where the last one that opens or closes the stage left it open.

    Raises
    ------
    ValueError
        There is no such examination, or no list of them.

    References
    ----------
    Definition: what needs pressure is done on a closed stage.

    Examples
    --------
    >>> lies_open(["look_seat", "zero"]), lies_open(["look_seat", "watch_full"])
    (True, False)
    """
    if isinstance(done, str) or not isinstance(done, Sequence):
        raise ValueError(
            f"The tests that were done come as a list of keys, ['tap'] for one, [] for none; not {done!r}."
        )
    stands_open = False
    for key in done:
        one = examination(key)
        if one.leaves_open:
            stands_open = True
        elif one.kind in ("needle", "ear", "part") or one.minutes != one.minutes_open:
            stands_open = stands_open and one.kind == "eye"
    return stands_open


def price(key: str, done: Sequence[str] = ()) -> Price:
    """What an examination costs after others: opening costs once, closing again before pressure is on costs too.

    Parameters
    ----------
    key : str
        Key of an examination.
    done : sequence of str
        Keys of those that were done before, in order.

    Returns
    -------
    Price
        Minutes on the bench, money in the invented currency, and whether it opens a stage that was closed.

    Raises
    ------
    ValueError
        There is no such examination, or no list of those done before.

    References
    ----------
    `datasets/diagnosis/tests.csv`: invented minutes and money.

    Examples
    --------
    >>> price("look_seat"), price("look_edge", ["look_seat"])
    (Price(minutes=15.0, money=6.0, opens=True), Price(minutes=3.0, money=0.0, opens=False))
    """
    one, stands_open = examination(key), lies_open(done)
    money = 0.0 if stands_open and one.leaves_open else one.money
    return Price(one.minutes_open if stands_open else one.minutes, money, one.opens and not stands_open)
