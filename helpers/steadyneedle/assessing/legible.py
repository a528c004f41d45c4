"""Whether an answer can be read, said in words that do not hang on what is right."""

from __future__ import annotations

import math
from dataclasses import dataclass

from steadyneedle.assessing.job_marking import read_path_of
from steadyneedle.assessing.keyed_items import read_keys
from steadyneedle.assessing.nothing_typed import typed_there
from steadyneedle.assessing.paper_file import Item
from steadyneedle.assessing.paper_plan import CHOSEN, JOB, KEYED, MEASURED, exercise_named
from steadyneedle.bench.units import Q, Quantity
from steadyneedle.jobs.path import PathError
from steadyneedle.questions import checking
from steadyneedle.questions.exercise import QuantityExercise
from steadyneedle.questions.keys_in_text import KeysError
from steadyneedle.questions.preferences import Preferences, unit_label


@dataclass(frozen=True)
class Legible:
    """Whether an answer can be read, and the sentence that says how, or what to type instead."""

    can_be_read: bool
    words: str = ""


def legible(item: Item, typed: str) -> Legible:
    """Whether an answer to a question of a paper can be read.

    Parameters
    ----------
    item : Item
        The question.
    typed : str
        What was typed, or the key of an option; nothing typed can be read.

    Returns
    -------
    Legible
        Of a quantity how it is read, as lessons and marking read it. Whether it is right plays no part in it.

    Examples
    --------
    >>> item = Item(1, "quantity", "mpa_to_psi", 1, "MPa to psi", {}, ("...",), unit="psi")
    >>> legible(item, "1500 psi").words, legible(item, "1500").words
    ('Read as 1500 psi.', 'No unit yet: type for example 1500 psi.')
    """
    if not typed_there(typed):
        return Legible(True)
    if item.kind in (*CHOSEN, *KEYED):
        return _chosen(item, typed)
    if item.kind == JOB:
        return _job(item, typed)
    exercise = _quantity(item)
    return Legible(True) if exercise is None else _as_read(exercise, typed)


def _as_read(exercise: QuantityExercise, typed: str) -> Legible:
    """How a quantity is read."""
    try:
        point, comma = (_read(exercise, typed, mark) for mark in ("point", "comma"))
    except ValueError as error:
        return Legible(False, _with_its_unit(exercise, typed) if checking.is_bare(typed) else str(error))
    if point != comma:
        return Legible(True, f"This may mean {_shown(point)} or {_shown(comma)}. Type the one you mean.")
    return Legible(True, f"Read as {_shown(point)}.")


LONGEST_EXAMPLE = 20
"""Characters of a number that is said again with its unit."""


def _with_its_unit(exercise: QuantityExercise, typed: str) -> str:
    """What to type where only the unit is missing."""
    number = typed.strip() if len(typed.strip()) <= LONGEST_EXAMPLE else "1"
    return f"No unit yet: type for example {number} {unit_label(Q(1, exercise.unit).units)}."


def takes_bare(item: Item) -> bool:
    """Whether a number without a unit is read, because the question's own words name what is counted."""
    exercise = _quantity(item)
    return exercise is not None and exercise.names_its_unit


def _job(item: Item, typed: str) -> Legible:
    """Whether a path through a job can be read, and whether it has ended."""
    try:
        path = read_path_of(typed, item.job)
    except PathError as error:
        return Legible(False, str(error))
    return Legible(bool(path.end), "" if path.end else "The job is not ended: nobody has said yet what it is.")


def _chosen(item: Item, typed: str) -> Legible:
    """Whether an answer of keys is whole."""
    if item.kind in CHOSEN:
        known = typed in dict(item.options)
        return Legible(known, "" if known else "Choose one of the answers.")
    try:
        read_keys(item.kind, item.options, typed)
    except KeysError as error:
        return Legible(False, str(error))
    return Legible(True)


def _quantity(item: Item) -> QuantityExercise | None:
    """The exercise behind a quantity; None for another kind, and where this version has no such exercise."""
    if item.kind not in MEASURED:
        return None
    try:
        exercise = exercise_named(item.exercise)
    except ValueError:
        return None
    return exercise if isinstance(exercise, QuantityExercise) else None


def _read(exercise: QuantityExercise, typed: str, mark: str) -> Quantity:
    """As every answer is read; where no number is known to be right, the first way that can be read counts."""
    return checking.read(exercise, typed, math.nan, Preferences(mark))[0]


def _shown(quantity: Quantity) -> str:
    unit = unit_label(quantity.units)
    return f"{float(quantity.magnitude):.12g} {unit}".strip()
