"""What eyes and ears find: teaching values, a chance for each leak and each mark. SI."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np

from steadyneedle.bench.diagnosis.own_tables import stamp, with_own
from steadyneedle.foundation import datasets
from steadyneedle.physics.faults import Fault
from steadyneedle.physics.leaks import SOAP_SHOWS

PLACES = {
    "chamber": ("spring chamber", "ambient chamber", "outer seal"), "rim": ("rim of the diaphragm",),
    "hose": ("hose fitting", "gauge hose"), "mouthpiece": ("mouthpiece",),
}  # fmt: skip
"""Where one looks for bubbles, and the leaks of the rig that show there."""

NOTHING_HEARD = "nothing"
SOAPED = {"soap_chamber": "chamber", "soap_rim": "rim", "soap_hose": "hose", "soap_mouth": "mouthpiece"}
ALL_ROUND = ("listen", "immerse")

LOOKED_AT = {
    "look_seat": ("seat", "naked_eye"), "loupe_seat": ("seat", "loupe"), "look_edge": ("edge", "naked_eye"),
    "loupe_edge": ("edge", "loupe"), "look_land": ("land", "naked_eye"), "loupe_land": ("land", "loupe"),
    "look_diaphragm": ("diaphragm", "diaphragm"), "look_seals": ("seals", "loupe"), "look_spring": ("spring", "spring"),
    "look_filter": ("filter", "filter"), "look_handwheel": ("handwheel", "handwheel"),
    "look_chamber": ("chamber", "chamber"), "cracking": ("cracking", "cracking"),
}  # fmt: skip
"""Examination to the part that is looked at, and how."""

AS_IT_SHOULD = {
    "spring": "as the drawing says", "filter": "clean", "handwheel": "fully open", "chamber": "dry and clean",
    "cracking": "as the sheet says",
}  # fmt: skip
"""What a part in order shows; elsewhere it is `NOTHING_WORN`."""

NOTHING_WORN = "nothing worn"
ALWAYS = {"negative_pressure": ("holds", "leaks"), "exhalation": ("easy", "too hard")}
"""Examinations that no fault of the table shows in: what they show, and what they seldom show by mistake."""

Finder = Callable[[Mapping[str, float], Mapping[str, float], float], str | None]
"""From faults, leaks [kg/s] and the least size that is found to what is found, or None."""

OLD_SEAT = ("old seat clean", "old seat marked")


@dataclass(frozen=True)
class HowWell:
    """How well one finds things: chance to find what is there, to see what is not, and the least size [um or times]."""

    finds: float
    false_alarm: float
    least: float


def how_well(how: str) -> HowWell:
    """How well one finds something in one way.

    Parameters
    ----------
    how : str
        A row of `datasets/diagnosis/eyes_and_ears.csv`, or of the instructor's own.

    Returns
    -------
    HowWell
        Chances from 0.0005 to 0.9995: nothing is quite certain.

    Raises
    ------
    DatasetError
        An own table that is not what it should be.

    References
    ----------
    Invented: teaching values.

    Examples
    --------
    >>> how_well("loupe").finds
    0.94
    """
    return _all_ways(stamp("eyes_and_ears"))[how]


@lru_cache(maxsize=4)
def _all_ways(_: int) -> dict[str, HowWell]:
    made = {}
    for how, row in with_own("eyes_and_ears", "how")[0].items():
        finds, alarm = (min(max(row[name] / 100, 0.0005), 0.9995) for name in ("finds_percent", "false_alarm_percent"))
        made[how] = HowWell(finds, alarm, row["least"])
    return made


@cache
def _shows() -> dict[str, dict[str, str]]:
    columns = datasets.table("diagnosis/parts_seen")
    made: dict[str, dict[str, str]] = {}
    for fault, part, shows in zip(columns["fault"], columns["part"], columns["shows"], strict=True):
        made.setdefault(part, {})[fault] = shows
    return made


@cache
def sense_outcomes(test: str) -> tuple[str, ...]:
    """What an examination by eye or ear may show, what is in order first.

    Parameters
    ----------
    test : str
        Key of an examination by eye or ear.

    Returns
    -------
    tuple of str
        Words.

    Raises
    ------
    KeyError
        No examination by eye or ear has this key.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> sense_outcomes("loupe_seat"), sense_outcomes("soap_rim")
    (('nothing worn', 'a ring', 'a cut', 'debris'), ('nothing', 'bubbles'))
    """
    if test in SOAPED:
        return (NOTHING_HEARD, "bubbles")
    if test in ALL_ROUND:
        return (NOTHING_HEARD, *PLACES)
    if test in ALWAYS:
        return ALWAYS[test]
    part, _ = LOOKED_AT[test]
    words = dict.fromkeys(_shows()[part].values())
    return (AS_IT_SHOULD.get(part, NOTHING_WORN), *words, *(("too hard",) if part == "cracking" else ()))


def sense_chances(test: str, faults: Mapping[str, float], leaks: Mapping[str, float]) -> np.ndarray:
    """How likely each outcome of an examination by eye or ear is, for one regulator.

    Parameters
    ----------
    test : str
        Key of an examination by eye or ear.
    faults : mapping
        Fault to severity, 0 to 1.
    leaks : mapping
        Place to leak [kg/s], as the rig names them.

    Returns
    -------
    numpy.ndarray, shape (outcomes,)
        Along `sense_outcomes`; they sum to 1.

    Raises
    ------
    KeyError
        No examination by eye or ear has this key.

    References
    ----------
    Invented: teaching values. Marks: `datasets/faults.csv`; leaks: computed with the rig.

    Examples
    --------
    >>> sense_chances("soap_hose", {}, {"hose fitting": 1e-6}).round(3).tolist()
    [0.03, 0.97]
    """
    return np.asarray(sense_table(test, [faults], [leaks])[0])


def sense_table(test: str, faults: Sequence[Mapping[str, float]], leaks: Sequence[Mapping[str, float]]) -> np.ndarray:
    """`sense_chances` of many regulators: most have nothing that an examination could find.

    Parameters
    ----------
    test : str
        Key of an examination by eye or ear.
    faults, leaks : sequence of mapping
        One of each for a regulator.

    Returns
    -------
    numpy.ndarray, shape (regulators, outcomes)
        Rows sum to 1.

    Raises
    ------
    KeyError
        No examination by eye or ear has this key.

    References
    ----------
    As `sense_chances`.

    Examples
    --------
    >>> sense_table("tap_it", [], [])
    Traceback (most recent call last):
    ...
    KeyError: 'tap_it'
    """
    names = sense_outcomes(test)
    key, find = _way(test)
    how = how_well(key)
    found = [find(one, air, how.least) for one, air in zip(faults, leaks, strict=True)]
    kinds = list(dict.fromkeys(found))
    chances = np.array([_spread(names, kind, how) for kind in kinds]).reshape(len(kinds), len(names))
    return np.asarray(chances[[kinds.index(one) for one in found]])


def _way(test: str) -> tuple[str, Finder]:
    """How one looks or listens in an examination, and what one finds there of a regulator."""
    if test in SOAPED:
        return "soap", lambda _, leaks, least: "bubbles" if _loudest(leaks, least, (SOAPED[test],)) else None
    if test in ALL_ROUND:
        return test, lambda _, leaks, least: _loudest(leaks, least, tuple(PLACES))
    if test in ALWAYS:
        return test, lambda _, leaks, least: None
    part, how = LOOKED_AT[test]
    return how, lambda faults, _, least: _marked(part, faults, least)


def old_seat_chances(faults: Mapping[str, float]) -> np.ndarray:
    """How likely the seat that was taken out looks clean, and how likely marked.

    Parameters
    ----------
    faults : mapping
        Fault to severity, 0 to 1.

    Returns
    -------
    numpy.ndarray, shape (2,)
        Along `OLD_SEAT`.

    References
    ----------
    Invented: teaching values.

    Examples
    --------
    >>> old_seat_chances({"seat_dished": 1.0}).round(2).tolist()
    [0.15, 0.85]
    """
    return np.asarray(old_seat_table([faults])[0])


def old_seat_table(faults: Sequence[Mapping[str, float]]) -> np.ndarray:
    """`old_seat_chances` of many regulators.

    Parameters
    ----------
    faults : sequence of mapping
        Fault to severity, one for each regulator.

    Returns
    -------
    numpy.ndarray, shape (regulators, 2)
        Along `OLD_SEAT`.

    References
    ----------
    Invented: teaching values.

    Examples
    --------
    >>> old_seat_table([{}, {"seat_dished": 1.0}]).round(2).tolist()
    [[0.98, 0.02], [0.15, 0.85]]
    """
    how = how_well("old_seat")
    chances = np.array([_spread(OLD_SEAT, one, how) for one in (None, OLD_SEAT[1])])
    return np.asarray(chances[[int(_marked("seat", one, how.least) is not None) for one in faults]])


def _loudest(leaks: Mapping[str, float], least: float, places: Sequence[str]) -> str | None:
    """The place with the largest leak; None where none is large enough."""
    if not leaks:
        return None
    sizes = {place: max((leaks.get(one, 0.0) for one in PLACES[place]), default=0.0) for place in places}
    loudest = max(sizes, key=lambda place: sizes[place])
    return loudest if sizes[loudest] > least * SOAP_SHOWS else None


def _marked(part: str, faults: Mapping[str, float], least: float) -> str | None:
    """What the largest mark on a part shows; None where no mark is large enough."""
    found, largest, shown_by = None, 0.0, _shows()[part]
    for key, severity in faults.items():
        shows = shown_by.get(key)
        if shows is None:
            continue
        small, big = Fault.named(key).mark
        size = small * (big / small) ** severity * 1e6 if small else 1e6  # what leaves no mark is plain to see
        if size >= least and size > largest:
            found, largest = shows, size
    return found


def _spread(names: tuple[str, ...], found: str | None, how: HowWell) -> np.ndarray:
    """Chances: what is there is found, or nothing is; what is not there is seen now and then, whatever it may be."""
    chances = np.full(len(names), how.false_alarm / (len(names) - 1))
    if found is None:
        chances[0] = 1 - how.false_alarm
        return chances
    at = names.index(found)
    chances[:] = 0.1 * (1 - how.finds) / max(len(names) - 2, 1)
    chances[at] = how.finds
    chances[0] = 0.0
    chances[0] = 1 - chances.sum()
    return chances
