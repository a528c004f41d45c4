"""Parts, soils and methods of the cleaning bench, as `datasets/cleaning` has them; names are read from here."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from functools import cache
from typing import Any

from steadyneedle.foundation import datasets

NEVER, ALWAYS, ASK, NO_LIMIT = "never", "always", "ask", "no limit"


@dataclass(frozen=True)
class CleanedPart:
    """A part on the bench: what it is made of, whether it comes out before a bath, the hottest it may get [°C].

    `bores` says whether it has passages that no cloth reaches; `over` is the metal under its finish, or nothing.
    """

    name: str
    material: str
    over: str
    family: str
    comes_out: bool
    bores: bool
    most_celsius: float
    what: str
    source: str


@dataclass(frozen=True)
class Soil:
    """What is to come off: how much of it may stay [%], whether it is a hard crust, and how one knows it."""

    name: str
    limit_percent: float
    crust: bool
    looks: str
    source: str


@dataclass(frozen=True)
class Method:
    """What can be done in one step, at its usual and at most minutes, °C, percent and kHz; None where it has none.

    What lasts longer than `most_minutes`, alone or with others of its agent, is covered by no rule here.
    """

    name: str
    kind: str
    agent: str
    ultrasonic: bool
    usual_minutes: float
    least_minutes: float
    most_minutes: float | None
    usual_celsius: float | None
    most_celsius: float | None
    usual_percent: float | None
    most_percent: float | None
    usual_kilohertz: float | None
    does: str
    source: str

    @property
    def cleans(self) -> bool:
        """Whether it is meant to take soil off."""
        return self.kind in ("bath", "wipe", "tool", "rinse")

    @property
    def wets(self) -> bool:
        """Whether parts are wet after it."""
        return self.kind in ("bath", "rinse", "neutral") or self.name == "nylon brush"

    @property
    def has_to_dry(self) -> bool:
        """Whether it leaves on parts what has to go before gas goes in: water, or what a wipe was done with."""
        return self.wets or self.kind == "wipe"


def parts() -> tuple[str, ...]:
    """Names of the parts that plans can be judged for.

    Parameters
    ----------

    Returns
    -------
    tuple of str
        Hard parts first.

    References
    ----------
    `datasets/cleaning/parts.csv`.

    Examples
    --------
    >>> parts()[:2]
    ('brass land', 'chromed body')
    """
    return tuple(known_parts())


def soils() -> tuple[str, ...]:
    """Names of the soils that plans can be judged for.

    Parameters
    ----------

    Returns
    -------
    tuple of str
        In the order of the file.

    References
    ----------
    `datasets/cleaning/soils.csv`.

    Examples
    --------
    >>> soils()[:3]
    ('salt', 'scale', 'verdigris')
    """
    return tuple(known_soils())


def methods() -> tuple[str, ...]:
    """Names of the methods that a step can have.

    Parameters
    ----------

    Returns
    -------
    tuple of str
        In the order of a service.

    References
    ----------
    `datasets/cleaning/methods.csv`.

    Examples
    --------
    >>> methods()[:3]
    ('strip', 'soft parts out', 'rinse')
    """
    return tuple(known_methods())


@cache
def known_parts() -> dict[str, CleanedPart]:
    """Every part by its name.

    Parameters
    ----------

    Returns
    -------
    dict
        Name to part.

    References
    ----------
    `datasets/cleaning/parts.csv`.

    Examples
    --------
    >>> known_parts()["PU seat"].material
    'polyurethane'
    """
    return {
        row["part"]: CleanedPart(
            row["part"],
            row["material"],
            row["over"],
            row["family"],
            row["comes_out"] == "yes",
            row["bores"] == "yes",
            row["most_celsius"],
            row["what"],
            row["source"],
        )
        for row in rows("parts", "most_celsius")
    }


@cache
def known_soils() -> dict[str, Soil]:
    """Every soil by its name.

    Parameters
    ----------

    Returns
    -------
    dict
        Name to soil.

    References
    ----------
    `datasets/cleaning/soils.csv`.

    Examples
    --------
    >>> known_soils()["scale"].limit_percent
    5.0
    """
    return {
        row["soil"]: Soil(row["soil"], row["limit_percent"], row["crust"] == "yes", row["looks"], row["source"])
        for row in rows("soils", "limit_percent")
    }


@cache
def known_methods() -> dict[str, Method]:
    """Every method by its name.

    Parameters
    ----------

    Returns
    -------
    dict
        Name to method.

    References
    ----------
    `datasets/cleaning/methods.csv`.

    Examples
    --------
    >>> known_methods()["ultrasonic acid"].agent
    'acid'
    """
    found = {}
    for row in rows("methods", "usual_minutes", "least_minutes"):
        numbers: dict[str, Any] = {name: float(row[name]) if row[name] else None for name in _MAY_BE_EMPTY}
        words: dict[str, Any] = {
            name: row[name] for name in ("kind", "agent", "usual_minutes", "least_minutes", "does", "source")
        }
        found[row["method"]] = Method(name=row["method"], ultrasonic=row["ultrasonic"] == "yes", **words, **numbers)
    return found


_MAY_BE_EMPTY = (
    "most_minutes", "usual_celsius", "most_celsius", "usual_percent", "most_percent", "usual_kilohertz"
)  # fmt: skip


@cache
def law(name: str) -> float:
    """A number of the cleaning bench that holds for everything: a factor for 10 °C, a margin, a ratio.

    Parameters
    ----------
    name : str
        As in the file.

    Returns
    -------
    float
        Its value; its unit stands in the file.

    References
    ----------
    `datasets/cleaning/laws.csv`.

    Examples
    --------
    >>> law("removal_q10")
    1.6
    """
    return {row["name"]: row["value"] for row in rows("laws", "value")}[name]


def rows(name: str, *numeric: str) -> list[dict[str, Any]]:
    """Rows of a file in `datasets/cleaning`.

    Parameters
    ----------
    name : str
        File name without `.csv`.
    *numeric : str
        Columns that hold numbers.

    Returns
    -------
    list of dict
        Column name to cell.

    References
    ----------
    The file itself; each row names its source.

    Examples
    --------
    >>> rows("never_together")[0]["gives"]
    'chlorine gas: it kills'
    """
    columns = datasets.table(f"cleaning/{name}", numeric)
    return [dict(zip(columns, cells, strict=True)) for cells in zip(*columns.values(), strict=True)]


def must_know(kind: str, name: object) -> str:
    """A name that is known, or a refusal that proposes the nearest.

    Parameters
    ----------
    kind : str
        "part", "soil" or "method".
    name : object
        What was given.

    Returns
    -------
    str
        The name.

    Raises
    ------
    ValueError
        It is no text, or nothing of that kind is called so.

    References
    ----------
    The names of `datasets/cleaning`.

    Examples
    --------
    >>> must_know("soil", "sallt")
    Traceback (most recent call last):
    ...
    ValueError: There is no soil 'sallt'. Did you mean 'salt'?
    """
    known = {"part": parts, "soil": soils, "method": methods}[kind]()
    if not isinstance(name, str):
        raise ValueError(f"A {kind} is named by a word such as '{known[0]}', not by {_shown(name)}.")
    wanted = " ".join(name.split())
    spelt = {one.casefold(): one for one in known}
    if wanted.casefold() in spelt:
        return spelt[wanted.casefold()]
    near = difflib.get_close_matches(wanted.casefold(), spelt, n=1, cutoff=0.5)
    advice = f"Did you mean '{spelt[near[0]]}'?" if near else f"The names are: {', '.join(known)}."
    raise ValueError(f"There is no {kind} {_shown(wanted)}. {advice}")


def _shown(thing: object) -> str:
    try:
        text = repr(thing)
    except Exception:  # whatever a stranger's object does when it is asked for its name
        text = type(thing).__name__
    return text if len(text) <= 40 else f"{text[:39]}…"
