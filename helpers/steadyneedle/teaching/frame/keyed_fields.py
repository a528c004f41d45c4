"""Fields for answers of more than one key, as `questions/keys_in_text.py` writes them: one field, one text."""

from __future__ import annotations

from steadyneedle.questions.keys_in_text import BECAUSE, LONGEST, OPEN, ORDER, SEVERAL
from steadyneedle.teaching.frame.form import CheckField, ChoiceField, JoinedField

Options = tuple[tuple[str, str], ...]
FIELD = "answer"


def ticks(options: Options, kept: str) -> CheckField:
    """Several of several.

    >>> ticks((("a", "A"), ("b", "B")), "a").value
    'a'
    """
    return CheckField(FIELD, "Tick all that are right", options, kept, SEVERAL, LONGEST)


def places(options: Options, kept: str) -> JoinedField:
    """A step for each place.

    >>> [one.label for one in places((("a", "A"), ("b", "B")), "").parts]
    ['Step 1', 'Step 2']
    """
    parts = tuple(ChoiceField(f"step-{n}", f"Step {n}", options, layout="list") for n in range(1, len(options) + 1))
    return JoinedField(FIELD, "Choose a step for each place", parts, kept, ORDER, OPEN, LONGEST)


def verdict_and_reason(verdicts: Options, reasons: Options, kept: str) -> JoinedField:
    """A verdict, and what it stands on.

    >>> [one.label for one in verdict_and_reason((("a", "A"),), (("b", "B"),), "").parts]
    ['Your verdict', 'Your reason']
    """
    parts = (ChoiceField("verdict", "Your verdict", verdicts), ChoiceField("reason", "Your reason", reasons))
    return JoinedField(FIELD, "Choose a verdict and its reason", parts, kept, BECAUSE, OPEN, LONGEST)
