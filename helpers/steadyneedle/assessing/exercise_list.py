"""What a plan may ask by name: a list to choose from, with kind and lesson."""

from __future__ import annotations

import difflib
from functools import cache

from steadyneedle.assessing.difficulty import why_not
from steadyneedle.assessing.paper_plan import CHOICE, ORDER, PLACE, QUANTITY, SEVERAL, TRACE, VERDICT, kind_of
from steadyneedle.foundation.text_files import printable
from steadyneedle.questions.exercise import Exercise
from steadyneedle.questions.plans import MODULES, for_papers, plan_of

IN_WORDS = {
    QUANTITY: "a quantity", CHOICE: "one of several", TRACE: "one, by a trace", SEVERAL: "several to tick",
    ORDER: "an order", VERDICT: "a verdict", PLACE: "a place on a trace",
}  # fmt: skip


@cache
def known_exercises() -> tuple[tuple[str, Exercise], ...]:
    """Where each exercise stands, in words, and the exercise, in the order of the lessons.

    >>> known_exercises()[-1][0], len(known_exercises()) > 60
    ('papers alone', True)
    """
    asked = [(f"lesson {number}", one) for number in MODULES for one in plan_of(number).exercises]
    return (*asked, *(("papers alone", one) for one in for_papers()))


def no_such_exercise(name: str) -> str:
    """What is said of a name that no exercise has: what comes nearest, and all that papers may ask, one a line.

    >>> print("\\n".join(no_such_exercise("lockup").splitlines()[:2]))
    there is no exercise 'lockup'. Nearest to it: lock_up, look_it_up. Papers may ask:
      read_the_divisions        a quantity          lesson 01     Counting marks
    """
    listed = [(where, one) for where, one in known_exercises() if not why_not(one)]
    near = difflib.get_close_matches(name.lower(), [one.name for _, one in listed], 3)
    nearest = f" Nearest to it: {', '.join(near)}." if near else ""
    lines = (f"  {one.name:<25} {IN_WORDS[kind_of(one)]:<19} {where:<13} {one.title}" for where, one in listed)
    return "\n".join([f"there is no exercise '{printable(name)}'.{nearest} Papers may ask:", *lines])
