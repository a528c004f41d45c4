"""Exercises whose answer is more than one key, and a place on a trace: drawn, solved, checked, worth a part."""

from __future__ import annotations

import dataclasses
import itertools
from collections import Counter
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from steadyneedle.questions import keys_in_text
from steadyneedle.questions.bank.for_papers import BEFORE_OPENING, JUDGE_A_WATCH, WHAT_LETS_IN, WHERE_IT_CREEPS
from steadyneedle.questions.checking import Checked
from steadyneedle.questions.exercise import Exercise
from steadyneedle.questions.keyed import KeyedExercise, SeveralExercise
from steadyneedle.questions.keys_in_text import KeysError
from steadyneedle.questions.plans import for_papers, home_of
from steadyneedle.questions.shown import NeedleTrace

KEYED = [one for one in for_papers() if isinstance(one, KeyedExercise)]
over_keyed = pytest.mark.parametrize("exercise", KEYED, ids=[one.name for one in KEYED])
over_all = pytest.mark.parametrize("exercise", for_papers(), ids=[one.name for one in for_papers()])
DRAWS = 150


def typed_right(exercise: Exercise, givens: dict[str, Any]) -> str:
    right = exercise.solve(givens)
    return right if isinstance(right, str) else f"{right.magnitude:.9g} min"


@over_all
def test_every_draw_is_asked_solved_and_right(exercise: Exercise) -> None:
    right = Counter[str]()
    for n in range(DRAWS):
        givens = exercise.givens("keyed", n)
        assert givens == exercise.givens("keyed", n) and exercise.question(givens) and exercise.help_lines(givens)
        right[typed_right(exercise, givens)] += 1
        checked = exercise.check(givens, typed_right(exercise, givens))
        assert checked.outcome == "right" and not checked.part, checked
        for mistake in exercise.mistakes:  # every sentence can be written for every draw
            assert mistake.sentence.format(**exercise.names(givens))
    assert max(right.values()) < 0.4 * DRAWS, "no answer is right for nearly everybody"
    assert home_of(exercise.name) is None, "no lesson asks it"


@over_keyed
def test_the_order_of_options_and_their_keys_say_nothing(exercise: KeyedExercise) -> None:
    """Each place of the list holds a right key about as often as any other; keys are words, in another order each time."""
    places, orders = Counter[int](), set()
    for n in range(300):
        givens = exercise.givens("order", n)
        options = list(exercise.options(givens))
        answer = exercise.names(givens).answer
        orders.add(tuple(options))
        right = answer[:1] if exercise is not WHAT_LETS_IN else answer
        places.update(options.index(key) for key in right if key in options)
        assert all(keys_in_text.KEY.fullmatch(key) for key in options)
        assert exercise.names({**givens, "order": "0001"}).answer == answer, "the order changes no answer"
    share = sum(places.values()) / len(places)
    assert all(abs(count - share) < 5 * share**0.5 for count in places.values()), places
    assert len(orders) > 20


def several(right: tuple[str, ...], ticked: tuple[str, ...]) -> Checked:
    """Six options, of which some are right: what ticking some is worth."""
    asked = SeveralExercise(
        name="six", title="", objectives=(1,), draw=lambda d: {"n": d.integer(0, 9)}, work=lambda w: {"answer": right},
        ask="?", choices={key: key for key in "abcdef"}, mistakes=(), hints=("First.", ""), working="{right}",
    )  # fmt: skip
    return asked.check(asked.givens(1), keys_in_text.as_several(ticked))


def test_of_several_each_right_one_counts_and_each_wrong_one_against_it() -> None:
    """Right less wrong, of all right ones, never below nought: against every set of ticks of six options."""
    for size in range(1, 7):
        for ticked in itertools.combinations("abcdef", size):
            checked = several(("a", "b", "c"), ticked)
            hits, wrong = len({*"abc"} & set(ticked)), len({*"def"} & set(ticked))
            worth = Fraction(max(hits - wrong, 0), 3)
            assert (checked.part == worth) if worth < 1 else (checked.outcome == "right"), ticked
            if worth and worth < 1:
                assert checked.lines[0] == f"Right: {hits} of 3. Wrong: {wrong}."
    assert several(("a",), tuple("abcdef")).part == 0, "whoever ticks all gets nothing"


def test_an_order_counts_whole_or_half() -> None:
    """Half for one exchange of two neighbours, nothing for any other order: against all 120 orders of five."""
    givens = BEFORE_OPENING.givens("orders", 1)
    right = BEFORE_OPENING.names(givens).answer
    halves = {(*right[:n], right[n + 1], right[n], *right[n + 2 :]) for n in range(4)}
    for order in itertools.permutations(right):
        checked = BEFORE_OPENING.check(givens, keys_in_text.as_order(order))
        worth = Fraction(1, 2) if order in halves else Fraction(0)
        assert (checked.outcome == "right") == (order == right) and checked.part == worth
        if order != right:
            assert checked.lines[0].startswith("Two neighbouring steps" if worth else "This answer does not fit")
        tool, vent = order.index("tool"), order.index("vent")
        sentence = "No spanner touches what still holds pressure. Vent it first."
        assert (sentence in checked.lines) == (tool < vent)


def test_a_right_verdict_for_a_wrong_reason_earns_half_and_says_so() -> None:
    for n in range(40):
        givens = JUDGE_A_WATCH.givens("verdicts", n)
        verdict, reason = JUDGE_A_WATCH.names(givens).answer
        for said, why in itertools.product(JUDGE_A_WATCH.choices, JUDGE_A_WATCH.reasons):
            checked = JUDGE_A_WATCH.check(givens, keys_in_text.as_because(said, why))
            if said != verdict:
                assert checked.outcome == "known mistake" and not checked.part, "a wrong verdict earns nothing"
            elif why != reason:
                assert checked.part == Fraction(1, 2)
                assert checked.lines[0] == "The verdict is right, but not for this reason."


def test_a_known_mistake_is_named_where_it_was_made_and_nowhere_else() -> None:
    givens = {**WHAT_LETS_IN.givens("mistakes", 1), "listed": "nick worn rim hose mouth soft"}
    assert WHAT_LETS_IN.solve(givens) == "nick + worn"
    both = WHAT_LETS_IN.check(givens, "nick + rim")
    assert both.mistake == "a weep taken for a leak inward" and both.part == 0
    assert "A seat that is worn deep may not close all the way round." in both.lines
    assert "A weep at a hose fitting takes gas away to the outside." not in both.lines
    one = WHAT_LETS_IN.check(givens, "nick")
    assert (one.part, one.mistake) == (Fraction(1, 2), "the seat overlooked")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("nick + nick", "names one option twice"), ("nick + seat", "none of the options"), ("stem", "none of the options"),
        ("nick > worn", "none of the options"), ("nick,worn", "none of the options"), (" ", "none of the options"),
        ('["nick"]', "none of the options"), ("NICK", "none of the options"), ("nick + " * 100, "longer than any answer"),
        ("nick" * 10**6, "longer than any answer"), ("<b>", "none of the options"), ("=1+1", "none of the options"),
    ],
)  # fmt: skip
def test_what_is_no_tick_is_refused(text: str, words: str) -> None:
    givens = {**WHAT_LETS_IN.givens("refused", 1), "listed": "nick worn rim hose mouth soft"}
    checked = WHAT_LETS_IN.check(givens, text)
    assert checked.outcome == "not read" and words in checked.lines[0], checked


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a > b", "A place is still open"), ("a > b > -", "A place is still open"), ("a > a > b", "One step stands in two places"),
        ("a > b > c > a", "none of the steps"), ("a > b > d", "none of the steps"), ("a + b + c", "none of the steps"),
        ("", "none of the steps"), ("- > - > -", "A place is still open"), ("a>b>c", "none of the steps"),
    ],
)  # fmt: skip
def test_what_is_no_order_is_refused(text: str, words: str) -> None:
    with pytest.raises(KeysError, match=words):
        keys_in_text.read_order(text, ("a", "b", "c"))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("- because slow", "Choose a verdict, too"), ("keep because -", "Choose a reason, too"), ("keep", "none of the options"),
        ("keep because slow because slow", "none of the options"), ("slow because keep", "none of the options"),
        ("keep because", "none of the options"), ("- because fast", "none of the options"),
    ],
)  # fmt: skip
def test_what_is_no_verdict_is_refused(text: str, words: str) -> None:
    with pytest.raises(KeysError, match=words):
        keys_in_text.read_because(text, ("keep",), ("slow",))


ANY_TEXT = some.text(max_size=60) | some.lists(
    some.sampled_from(["nick", "worn", "open", "tool", "-", "creeps", "holds", "because", "flat", ">", "+", ""]),
    max_size=9,
).map(" ".join)


@settings(max_examples=150, deadline=None)
@given(typed=ANY_TEXT)
def test_any_text_is_read_or_refused_in_a_sentence(typed: str) -> None:
    for exercise in KEYED:
        checked = exercise.check(exercise.givens("any", 1), typed)
        assert checked.lines and all(checked.lines) and 0 <= checked.part < 1


def test_an_exercise_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="the key 'two words' is no word of small letters and digits"):
        dataclasses.replace(WHAT_LETS_IN, choices={"two words": "x", "a": "y"})
    with pytest.raises(ValueError, match="a key of a reason is one word"):
        dataclasses.replace(JUDGE_A_WATCH, reasons={"-": "x"})
    with pytest.raises(RuntimeError, match="no fair numbers"):
        dataclasses.replace(BEFORE_OPENING, work=lambda w: {"answer": ("open",), "offered": ("open", "shut")}).givens(1)
    with pytest.raises(ValueError, match="it offers 1 options"):
        dataclasses.replace(WHAT_LETS_IN, work=lambda w: {"answer": ("nick",), "offered": ("nick",)}).givens(1)
    with pytest.raises(ValueError, match="'right' is the right answer's words"):
        dataclasses.replace(WHAT_LETS_IN, work=lambda w: {"answer": ("nick",), "right": 1}).givens(1)


# a place on a trace ---------------------------------------------------------------------------------------


def test_a_place_is_where_the_drawn_dots_say_so() -> None:
    """Found again from the picture's numbers alone: the first dot from which all steps are as small as the last."""
    for n in range(60):
        givens = WHERE_IT_CREEPS.givens("place", n)
        trace = WHERE_IT_CREEPS.shown(givens)
        assert isinstance(trace, NeedleTrace)
        steps = [round(b - a, 2) for a, b in itertools.pairwise(trace.bars)]
        dot = next(at for at in range(len(steps)) if all(abs(one - steps[-1]) < 0.005 for one in steps[at:]))
        assert WHERE_IT_CREEPS.names(givens).answer * 60 == trace.seconds[dot]
        assert min(steps[:dot]) >= steps[-1] + 0.0299, "the bend is plain"
        at, apart = trace.seconds[dot] / 60, (trace.seconds[1] - trace.seconds[0]) / 60
        for off, outcome in ((0, True), (1, True), (-1, True), (2, False), (-2, False)):
            typed = f"{at + off * apart:g} min"
            assert (WHERE_IT_CREEPS.check(givens, typed).outcome == "right") == outcome, (typed, at)
        assert WHERE_IT_CREEPS.check(givens, f"{trace.seconds[-1]} s").mistake == "the end of the watch"


def test_a_tolerance_that_the_dots_do_not_support_is_refused() -> None:
    with pytest.raises(ValueError, match=r"the tolerance of 1 of its dots is 0\.25 min"):
        dataclasses.replace(WHERE_IT_CREEPS, absolute=0.1).givens(1)
    with pytest.raises(ValueError, match="a place needs a trace that is shown"):
        dataclasses.replace(WHERE_IT_CREEPS, shows=None).givens(1)
