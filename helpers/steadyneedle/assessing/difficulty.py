"""The same paper is as hard for every candidate: which quantity questions can promise that, and between which bounds.

How easily an answer goes wrong is told by how far the nearest known mistake lies from the right answer, in tolerances:
close by, an eye that checks its own answer finds nothing odd. A paper's numbers are drawn until that distance lies
between `least` and three times `least`; a question whose mistakes lie closer than three tolerances, or whose numbers
differ by more than one digit from candidate to candidate, is for practice only.
"""

from __future__ import annotations

import re

from steadyneedle.questions import checking
from steadyneedle.questions.exercise import Exercise, Givens, QuantityExercise

CLOSEST = 3.0
"""Tolerances between the right answer and the nearest known mistake, at least."""

WIDEST = 3.0
"""Most by which that distance may differ between two candidates, as a ratio."""

LEAST = {
    "read_the_divisions": 6.0, "the_other_scale": 4.0, "mpa_to_psi": 8.0,
    "gauge_to_absolute": 3.0, "absolute_at_depth": 12.0, "depth_from_pressure": 18.0, "cost_of_rounding": 3.0,
    "rule_of_thumb": 5.0, "usable_air": 3.0, "lock_up": 13.0, "ip_at_low_supply": 35.0,
    "after_turning": 3.0, "droop": 7.0, "other_volume": 10.0, "other_supply": 3.0,
    "rise_a_minute": 15.0, "highest_reading": 3.0, "largest_error": 18.0, "reading_uncertainty": 4.0,
    "acceptance_limit": 3.0, "round_inward": 6.0, "creep_rate": 4.0, "rate_error": 20.0, "opens_in": 30.0,
    "hidden_creep": 15.0, "outside_first": 6.8, "after_a_finding": 4.2, "nothing_found": 3.0, "two_looks": 4.6,
    "gas_lost": 5.5, "off_zero": 7.5, "bath_mix": 3.0, "warm_bath": 33.0, "tank_minutes": 200.0,
    "minutes_missing": 200.0, "where_it_creeps": 8.0,
}  # fmt: skip
"""Quantity exercise that papers may ask -> least distance of its nearest known mistake, in tolerances."""

FEWEST = 20
"""Sets of numbers among 500 candidates, at least: a neighbour's answer is then hardly ever one's own."""

PRACTICE_ONLY = {
    "a_strange_unit": "its factor stands in a hint, and a paper has no hints",
    "read_a_panel": "its nearest known mistake lies 2.7 tolerances from the answer",
    "psi_to_bar": "taking an atmosphere for a bar lies 2.6 tolerances from the answer",
    "cylinder_content": "so few of its numbers lie far enough from a known mistake that candidates would share them",
    "how_long": "so few of its numbers lie far enough from a known mistake that candidates would share them",
    "half_gone": "what is there at the start has one digit in one question and three in another",
    "read_the_dial": "a paper has no picture of its dial, and the words in its place give the reading away",
    "size_a_leak": "it is answered with a figure of lesson 02, and a paper has no figure",
    "kpa_and_kgf": "in kilopascal its number has four digits, in kgf/cm² two",
}
"""Quantity exercise that papers may not ask -> why."""

_NUMBER = re.compile(r"\d+(?:\.\d+)?")


def nearest_mistake(exercise: QuantityExercise, givens: Givens) -> float:
    """How far the nearest known mistake lies from the right answer, in tolerances of the lessons.

    Where the answer is exact, half of its last figure stands for the tolerance.
    """
    names = exercise.names(givens)
    right = names.answer
    made = [mistake.answer(names) for mistake in exercise.mistakes]
    tolerance = checking.close_by(exercise, right) or 0.5 * 10.0 ** -checking.decimals_for(right, exercise.figures or 3)
    return min(abs(one - right) for one in made if one is not None) / tolerance


def digits(exercise: Exercise, givens: Givens) -> list[int]:
    """Digits of each number of the question as it is asked, in order."""
    return [len(number.replace(".", "")) for number in _NUMBER.findall(" ".join(exercise.question(givens)))]


def as_hard_as_others(exercise: Exercise, givens: Givens) -> bool:
    """Whether a paper may ask these numbers; a choice is as hard for everyone, whatever its numbers."""
    if not isinstance(exercise, QuantityExercise):
        return True
    least = LEAST[exercise.name]
    return least <= nearest_mistake(exercise, givens) <= WIDEST * least


def why_not(exercise: Exercise) -> str:
    """Why papers may not ask an exercise; empty where they may."""
    if not isinstance(exercise, QuantityExercise) or exercise.name in LEAST:
        return ""
    return PRACTICE_ONLY.get(exercise.name, "nobody has checked yet that it is as hard for every candidate")
