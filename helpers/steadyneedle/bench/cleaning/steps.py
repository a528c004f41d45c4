"""One step of a cleaning plan, and reading what a plan is judged on: parts, soils, steps."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from steadyneedle.bench.cleaning.catalogue import Method, known_methods, must_know
from steadyneedle.bench.units import format_number

LONGEST = 1440
"""Minutes of one step: a day."""
MOST_STEPS = 60

_MOST = {"minutes": LONGEST, "celsius": 100, "percent": 100, "kilohertz": 1000}
_UNITS = {"minutes": "min", "celsius": "°C", "percent": "%", "kilohertz": "kHz"}
_NAMES = {"celsius": "temperature", "percent": "strength", "kilohertz": "frequency"}


@dataclass(frozen=True)
class CleaningStep:
    """One step, `Step` from outside: a method, its minutes, °C, percent and kHz; what is None is the method's usual.

    `part` names the one part that a "replace" is about; None means every part that has to be replaced.

    Raises
    ------
    ValueError
        No such method, no number, a number that no bath has, a strength of something that has none.

    Examples
    --------
    >>> CleaningStep("ultrasonic acid", 4).words
    'ultrasonic acid, 4 min at 20 °C, 5 %, 40 kHz'
    """

    method: str
    minutes: float | None = None
    celsius: float | None = None
    percent: float | None = None
    kilohertz: float | None = None
    part: str | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "method", must_know("method", self.method))
        for name in _MOST:
            object.__setattr__(self, name, self._number(name, getattr(self, name)))
        if self.part is not None:
            if self.kind.kind != "replace":
                raise ValueError(f"Only 'replace' names a part; '{self.method}' is done to all parts that are in.")
            object.__setattr__(self, "part", must_know("part", self.part))

    def _number(self, name: str, given: Any) -> float | None:
        if given is None:
            return None
        unit = _UNITS[name]
        if isinstance(given, bool) or not isinstance(given, int | float):
            try:
                given = float(given) if not isinstance(given, bool | str | bytes) else None
            except Exception:  # whatever else somebody hands over: one sentence for all of it
                given = None
            if given is None:
                raise ValueError(f"{name} of '{self.method}' must be a plain number of {unit}, such as 5.")
        if not -math.inf < given < math.inf:
            raise ValueError(f"{name} of '{self.method}' must be a finite number of {unit}, such as 5.")
        if given < 0:
            raise ValueError(f"{name} of '{self.method}' is {format_number(given)}; it must not be below 0.")
        if given > _MOST[name]:
            raise ValueError(f"{name} of '{self.method}' is more than {_MOST[name]} {unit}. Check the number.")
        if name != "minutes" and getattr(self.kind, f"usual_{name}") is None:
            raise ValueError(f"'{self.method}' has no {_NAMES[name]}: leave {name} empty.")
        return float(given)

    @property
    def kind(self) -> Method:
        """The method of this step."""
        return known_methods()[self.method]

    @property
    def takes(self) -> float:
        """Minutes, the usual ones where none are given."""
        return self.kind.usual_minutes if self.minutes is None else self.minutes

    @property
    def at_celsius(self) -> float | None:
        """Temperature, the usual one where none is given."""
        return self.kind.usual_celsius if self.celsius is None else self.celsius

    @property
    def at_percent(self) -> float | None:
        """Strength, the usual one where none is given."""
        return self.kind.usual_percent if self.percent is None else self.percent

    @property
    def at_kilohertz(self) -> float | None:
        """Frequency, the usual one where none is given."""
        return self.kind.usual_kilohertz if self.kilohertz is None else self.kilohertz

    @property
    def done(self) -> bool:
        """Whether it counts: not in 0 minutes, nor in less than its least, nor in too weak a bicarbonate."""
        return self.takes > 0 and self.takes >= self.kind.least_minutes and not self.too_weak

    @property
    def too_weak(self) -> bool:
        """Whether a neutralising bath has less than its usual strength: then nobody can count on it."""
        return self.kind.kind == "neutral" and (self.at_percent or 0.0) < (self.kind.usual_percent or 0.0)

    @property
    def words(self) -> str:
        """The step as a sentence has it."""
        if self.kind.kind == "replace":
            return f"replace {self.part or 'every part that has to be replaced'}"
        said = f"{self.method}, {format_number(self.takes)} min"
        numbers = [(self.at_celsius, "°C"), (self.at_percent, "%"), (self.at_kilohertz, "kHz")]
        at = ", ".join(f"{format_number(value)} {unit}" for value, unit in numbers if value is not None)
        return f"{said} at {at}" if at else said


Soiled = tuple[str | None, str]
"""A soil, and the part it sits on; None for every part that can carry it."""


def read_parts(given: object) -> tuple[str, ...]:
    """Parts of a set, each once, read from any collection of names.

    Parameters
    ----------
    given : iterable of str
        Names, also from a generator; one name alone is one part.

    Returns
    -------
    tuple of str
        In the order given.

    Raises
    ------
    ValueError
        Nothing, something that is no collection, an unknown name.

    References
    ----------
    The names of `datasets/cleaning/parts.csv`.

    Examples
    --------
    >>> read_parts(name for name in ("NBR ring", "brass land", "NBR ring"))
    ('NBR ring', 'brass land')
    """
    named = tuple(dict.fromkeys(must_know("part", one) for one in _listed("parts", given)))
    if not named:
        raise ValueError("parts is empty: name at least one part, for example 'brass land'.")
    return named


def read_soils(given: object) -> tuple[Soiled, ...]:
    """Soils of a set, each once, read from any collection of names or of (part, soil) pairs.

    Parameters
    ----------
    given : iterable
        Names of soils, or pairs of a part and a soil, also from a generator.

    Returns
    -------
    tuple
        Pairs of a part, or None, and a soil.

    Raises
    ------
    ValueError
        Something that is no collection, an unknown name.

    References
    ----------
    The names of `datasets/cleaning/soils.csv`.

    Examples
    --------
    >>> read_soils(["salt", ("brass land", "scale")])
    ((None, 'salt'), ('brass land', 'scale'))
    """
    found: list[Soiled] = []
    for one in _listed("soils", given):
        if isinstance(one, tuple | list) and len(one) == 2:
            found.append((must_know("part", one[0]), must_know("soil", one[1])))
        else:
            found.append((None, must_know("soil", one)))
    if not found:
        raise ValueError("soils is empty: name what is to come off, for example 'salt'.")
    return tuple(dict.fromkeys(found))


def read_steps(given: object) -> tuple[CleaningStep, ...]:
    """Steps of a plan, read from any collection of steps or of names of methods.

    Parameters
    ----------
    given : iterable
        Steps; a name alone is a step with the method's usual numbers.

    Returns
    -------
    tuple of CleaningStep
        In the order given; it may be empty.

    Raises
    ------
    ValueError
        Something that is no step, or more steps than a plan has.

    References
    ----------
    `datasets/cleaning/methods.csv` for the usual numbers.

    Examples
    --------
    >>> read_steps(["strip", CleaningStep("rinse", 5)])[1].takes
    5.0
    """
    found = []
    for one in _listed("steps", given):
        if not isinstance(one, CleaningStep | str):
            raise ValueError("A plan is a list of steps: write each as Step('rinse', 2).")
        found.append(one if isinstance(one, CleaningStep) else CleaningStep(one))
        if len(found) > MOST_STEPS:
            raise ValueError(f"A plan has at most {MOST_STEPS} steps. Leave out what is done twice.")
    return tuple(found)


def _listed(what: str, given: object) -> tuple[Any, ...]:
    if isinstance(given, str | CleaningStep):
        return (given,)
    if isinstance(given, bytes) or not isinstance(given, Iterable):
        raise ValueError(f"{what} must be a list of names, for example {_EXAMPLES[what]}.")
    try:
        found = []
        for one in given:
            found.append(one)
            if len(found) > 1000:
                raise ValueError(f"{what} has more than 1000 entries. Name each once.")
        return tuple(found)
    except TypeError:
        raise ValueError(f"{what} must be a list of names, for example {_EXAMPLES[what]}.") from None


_EXAMPLES = {"parts": "['brass land']", "soils": "['salt', 'scale']", "steps": "[Step('rinse', 2)]"}
