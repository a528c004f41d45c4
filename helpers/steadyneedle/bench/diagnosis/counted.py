"""Drawn regulators, each put through every examination on the rig and read on each gauge: a computed dataset a design.

What a regulator shows is kept test by test as letters, one a turn: `a` is the first of `NEEDLE_OUTCOMES`. A cause in
which chance has a part is read at several turns, because its next purge may show something else.
"""

from __future__ import annotations

from steadyneedle.bench.diagnosis.cause_list import ANOTHER, causes, other_pairs
from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.bench.diagnosis.gauge_kinds import GAUGES, gauge_kind
from steadyneedle.bench.diagnosis.hidden import Hidden, drawn_with
from steadyneedle.bench.diagnosis.needle_tests import NEEDLE_OUTCOMES, NEEDLE_TESTS
from steadyneedle.foundation.datasets import Computed
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics.stages import FirstStage

SINGLES, PAIRS, SOUNDS = 20, 14, 28
"""Regulators drawn for each fault, each pair with a name, and none wrong; of every other pair one is drawn."""

CHUNK = 24
"""Other pairs computed in one part."""

BY_CHANCE = ("grit", "sticky", "leak_on_sticky", "diaphragm_stiff")
TURNS = (0, 2, 5)
"""How often a regulator in which chance has a part was purged before."""

LETTERS = "abcdefghijklmnop"
SOURCE = "computed: drawn regulators on the rig"

Part = tuple[str, str, int, int]
"""Design, cause, and from which to which regulator of it."""


def turns_of(hidden: Hidden) -> tuple[int, ...]:
    """The turns at which a regulator is read.

    Parameters
    ----------
    hidden : Hidden
        Which regulator.

    Returns
    -------
    tuple of int
        One, or several where chance has a part.

    References
    ----------
    Ours.

    Examples
    --------
    >>> turns_of(Hidden("Alder", {"grit": 0.5})), turns_of(Hidden("Alder"))
    ((0, 2, 5), (0,))
    """
    return TURNS if any(key in BY_CHANCE for key in hidden.faults) else TURNS[:1]


def needle_tests_of(design: str) -> tuple[str, ...]:
    """The examinations on a gauge that a design allows.

    Parameters
    ----------
    design : str
        Name of a first stage.

    Returns
    -------
    tuple of str
        Keys of `NEEDLE_TESTS`.

    Raises
    ------
    ValueError
        There is no such design.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> "adjuster" in needle_tests_of("Alder"), "pot" in needle_tests_of("Linden")
    (False, False)
    """
    stage = FirstStage.named(design)
    lacks = {"adjuster": not stage.adjuster, "pot": stage.sealed}
    return tuple(key for key in NEEDLE_TESTS if not lacks.get(key, False))


def how_many(design: str, cause: str) -> int:
    """How many regulators are drawn for a cause.

    Parameters
    ----------
    design, cause : str
        Names.

    Returns
    -------
    int
        At least one.

    Raises
    ------
    ValueError
        There is no such design.

    References
    ----------
    Ours: as many as two cores compute in an hour.

    Examples
    --------
    >>> how_many("Alder", "grit"), how_many("Alder", "another_pair") > 100
    (20, True)
    """
    if cause == ANOTHER:
        return len(other_pairs(design))
    return SOUNDS if cause == SOUND else PAIRS if "+" in cause else SINGLES


def regulator(design: str, cause: str, number: int, gauge: str, seed: str = "") -> Hidden:
    """One drawn regulator of a cause; the same one on either gauge.

    Parameters
    ----------
    design, cause : str
        Names.
    number : int
        Which of `how_many`.
    gauge : str
        "fine" or "coarse".
    seed : str
        Another word, other regulators.

    Returns
    -------
    Hidden
        Severities of a single fault lie one in each equal part of 0 to 1; of every other pair there is one regulator.

    Raises
    ------
    ValueError
        An unknown gauge.

    References
    ----------
    As `drawn_with`.

    Examples
    --------
    >>> regulator("Alder", "grit", 0, "fine").faults["grit"] < 0.06
    True
    """
    draws = Draws("counted", design, cause, number, seed)
    if cause == ANOTHER:
        keys: tuple[str, ...] = other_pairs(design)[number]
        part = (0.0, 1.0)
    else:
        count = how_many(design, cause)
        keys = () if cause == SOUND else tuple(cause.split("+"))
        part = (number / count, (number + 1) / count)
    one = drawn_with(design, keys, "fine", draws, part)
    scale = gauge_kind(gauge).permitted / gauge_kind("fine").permitted
    return Hidden(design, one.faults, one.seed, one.room, gauge, round(one.gauge_error * scale, 1))


def letters(hidden: Hidden) -> list[str]:
    """What every examination on a gauge shows of a regulator, a letter a turn; "-" where the design lacks it.

    Parameters
    ----------
    hidden : Hidden
        Which regulator.

    Returns
    -------
    list of str
        Along `NEEDLE_TESTS`.

    References
    ----------
    Computed with the rig.

    Examples
    --------
    >>> letters(Hidden("Alder"))[:3]
    ['a', 'a', 'a']
    """
    possible, turns = needle_tests_of(hidden.design), turns_of(hidden)
    shows = []
    for key, show in NEEDLE_TESTS.items():
        if key not in possible:
            shows.append("-")
            continue
        found = (NEEDLE_OUTCOMES[key].index(show(hidden.on_a_gauge(turn))) for turn in turns)
        shows.append("".join(LETTERS[one] for one in found))
    return shows


def parts_of(design: str) -> tuple[Part, ...]:
    """The parts of a design's dataset, each of which can be computed without the others.

    Parameters
    ----------
    design : str
        Name of a first stage.

    Returns
    -------
    tuple of Part
        In the order of the file.

    Raises
    ------
    ValueError
        There is no such design.

    References
    ----------
    Ours.

    Examples
    --------
    >>> parts_of("Alder")[0]
    ('Alder', 'sound', 0, 28)
    """
    made: list[Part] = []
    for cause in causes(design):
        count = how_many(design, cause)
        step = CHUNK if cause == ANOTHER else count
        made += [(design, cause, first, min(first + step, count)) for first in range(0, count, step)]
    return tuple(made)


def _rows(part: Part) -> list[tuple[str, ...]]:
    design, cause, first, last = part
    rows = []
    for number in range(first, last):
        for gauge in GAUGES:
            one = regulator(design, cause, number, gauge)
            faults = ";".join(f"{key}:{severity:g}" for key, severity in one.faults.items())
            leaks = ";".join(f"{place}:{rate:.3g}" for place, rate in sorted(one.on_the_bench().leaks().items()))
            row = (cause, str(number), faults, gauge, f"{one.gauge_error / 1e5:.4f}", leaks)
            rows.append((*row, *letters(one), SOURCE))
    return rows


HEADER = ("cause", "number", "faults", "gauge", "gauge_error_bar", "leaks_kg_s", *NEEDLE_TESTS, "source")


def with_gauges(design: str) -> Computed:
    """How the table of a design is made.

    Parameters
    ----------
    design : str
        Name of a first stage.

    Returns
    -------
    Computed
        The rows of its drawn regulators, cause by cause.

    References
    ----------
    Computed with the rig.

    Examples
    --------
    >>> with_gauges("Alder").header[:2]
    ('cause', 'number')
    """
    return Computed(HEADER, lambda: parts_of(design), _rows)
