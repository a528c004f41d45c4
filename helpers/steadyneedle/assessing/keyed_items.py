"""A question whose answer is more than one key, as a paper prints it and as what was answered reads.

The options of a verdict's reasons stand behind those of the verdicts, their keys marked.
"""

from __future__ import annotations

from collections.abc import Sequence

from steadyneedle.assessing.paper_plan import KEYED, ORDER, SEVERAL, VERDICT
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.enough import enough
from steadyneedle.questions.exercise import Exercise, Givens, QuantityExercise
from steadyneedle.questions.keyed import KeyedExercise, VerdictExercise
from steadyneedle.questions.keys_in_text import (
    BECAUSE,
    LONGEST,
    OPEN,
    read_because,
    read_order,
    read_several,
)
from steadyneedle.questions.keys_in_text import (
    ORDER as THEN,
)
from steadyneedle.questions.keys_in_text import (
    SEVERAL as AND,
)

Options = Sequence[tuple[str, str]]
REASON = "because "
"""Stands before the key of a reason among the options of an item."""
GAP, NOT_OFFERED = "nothing chosen", "'{}', which was not offered"
ROUNDED = "Marks go by halves and are rounded down."
HEADS = {SEVERAL: ("",), ORDER: ("",), VERDICT: ("The verdict:", "The reason:")}


def options_of(exercise: Exercise, givens: Givens) -> tuple[tuple[str, str], ...]:
    """Keys and words of the options of any exercise, in the order shown; empty where there are none."""
    if not isinstance(exercise, ChoiceExercise | KeyedExercise):
        return ()
    reasons = exercise.reasons_shown(givens) if isinstance(exercise, VerdictExercise) else {}
    return (*exercise.options(givens).items(), *((REASON + key, words) for key, words in reasons.items()))


def rule_of(exercise: Exercise) -> tuple[str, ...]:
    """How a question gives part of its marks, or how close a quantity has to be; nothing where its own words say it."""
    if isinstance(exercise, QuantityExercise):
        return tuple(filter(None, (enough(exercise),)))
    return (f"{exercise.told} {exercise.rule} {ROUNDED}".strip(),) if isinstance(exercise, KeyedExercise) else ()


def grouped(options: Options) -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str], ...]]:
    """The options, and of a verdict the reasons apart, by their own keys.

    >>> grouped((("keep", "keep it"), ("because slow", "it is slow")))
    ((('keep', 'keep it'),), (('slow', 'it is slow'),))
    """
    reasons = tuple((key.removeprefix(REASON), words) for key, words in options if key.startswith(REASON))
    return tuple(one for one in options if not one[0].startswith(REASON)), reasons


def lists(kind: str, options: Options) -> list[tuple[str, list[str]]]:
    """The options of an item as a paper prints them: what stands above a list, and its lines."""
    groups = zip(HEADS.get(kind, ("",)), grouped(options), strict=False)
    return [(head, [words for _, words in group]) for head, group in groups if group]


def read_keys(kind: str, options: Options, typed: str) -> None:
    """Read an answer of more than one key.

    Raises
    ------
    KeysError
        It is no whole answer; the sentence says what to do, and hangs on no right answer.
    """
    first, reasons = ([key for key, _ in group] for group in grouped(options))
    if kind == SEVERAL:
        read_several(typed, first)
    elif kind == ORDER:
        read_order(typed, first)
    else:
        read_because(typed, first, reasons)


def in_words_of_today(kind: str, options: Options, typed: str) -> str:
    """An answer to a question that is another today: as it stands, with what its keys mean among today's options.

    >>> in_words_of_today("choice", (("a", "vent"), ("b", "open")), "b")
    "b (today's words for it: open)"
    """
    words = as_answered(kind, options, typed)
    return typed if words == typed else f"{typed} (today's words for it: {words})"


def as_answered(kind: str, options: Options, typed: str) -> str:
    """What was answered, in the words of the options; as it stands where it names none of them.

    An answer that is not whole, too: a gap is said, and so is what was not offered.

    >>> as_answered("order", (("a", "vent"), ("b", "open")), "b > a")
    '1. open; 2. vent'
    >>> as_answered("order", (("a", "vent"), ("b", "open")), "b > - > c")
    "1. open; 2. nothing chosen; 3. 'c', which was not offered"
    """
    words = dict(options)
    if kind not in KEYED:
        return words.get(typed, typed)
    between = {SEVERAL: AND, ORDER: THEN, VERDICT: BECAUSE}[kind]
    keys = typed.split(between) if len(typed) <= LONGEST else []
    heads = ("", REASON) if kind == VERDICT else ("",) * len(keys)
    if len(heads) != len(keys) or not any(head + key in words for head, key in zip(heads, keys, strict=True)):
        return typed
    said = [
        GAP if key == OPEN else words.get(head + key, NOT_OFFERED.format(key))
        for head, key in zip(heads, keys, strict=True)
    ]
    if kind == SEVERAL:
        return "; ".join(one for _, one in sorted(zip(keys, said, strict=True)))
    if kind == ORDER:
        return "; ".join(f"{n}. {one}" for n, one in enumerate(said, 1))
    return f"{said[0]}; the reason: {GAP}" if keys[1] == OPEN else f"{said[0]}, because {said[1]}"
