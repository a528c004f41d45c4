"""What each field of a learner's file may hold. What somebody else wrote there is as if it were not."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

MOST = 10**9
"""No count of a learner's is larger; the page tells larger ones apart no longer."""

LONGEST = 1000
"""Characters; a form sends 200."""

LONGEST_TABLE = 50_000
"""Characters of a log that was typed; some thousand rows, and the file stays quick to save."""

LONGEST_PLAN = 60
"""Steps of a cleaning plan; the form takes 40."""

Fields = Mapping[str, Callable[[Any], bool]]


def is_count(value: Any) -> bool:
    """Whether a field counts something.

    >>> [is_count(value) for value in (0, 3, 2.0, -1, True, "3", 1e300, None)]
    [True, True, True, False, False, False, False, False]
    """
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return number and 0 <= value <= MOST and value == int(value)


def is_text(value: Any) -> bool:
    """Whether a field holds what was typed or chosen.

    >>> is_text("9,8 bar"), is_text("half a pair: \\ud800"), is_text(9.8)
    (True, False, False)
    """
    return _is_whole_text(value, LONGEST)


def is_long_text(value: Any) -> bool:
    """Whether a field holds a table that was typed.

    >>> is_long_text("9.8\\n" * 5000), is_long_text("9.8\\n" * 20_000)
    (True, False)
    """
    return _is_whole_text(value, LONGEST_TABLE)


def _is_whole_text(value: Any, longest: int) -> bool:
    if not isinstance(value, str) or len(value) > longest:
        return False
    return not any("\ud800" <= sign <= "\udfff" for sign in value)


def is_flag(value: Any) -> bool:
    """Whether a field says yes or no."""
    return isinstance(value, bool)


def is_list(value: Any) -> bool:
    """Whether a field lists what was done."""
    return isinstance(value, list)


def is_days(value: Any) -> bool:
    """Whether a field lists days.

    >>> is_days(["2026-03-02"]), is_days([3])
    (True, False)
    """
    return isinstance(value, list) and all(is_text(one) for one in value)


def is_answers(value: Any) -> bool:
    """Whether a field holds answers, each by the name of what was asked.

    >>> is_answers({"1": {"said": "creeps", "sure": "very"}}), is_answers({"1": "creeps"}), is_answers([])
    (True, False, False)
    """
    return isinstance(value, dict) and all(
        isinstance(one, dict) and all(is_text(words) for words in one.values()) for one in value.values()
    )


def is_choice(value: Any) -> bool:
    """Whether a field holds a choice, or None for "either"."""
    return value is None or is_text(value)


def is_table(value: Any) -> bool:
    """Whether a field holds something by name."""
    return isinstance(value, dict)


def is_steps(value: Any) -> bool:
    """Whether a field holds the steps of a cleaning plan.

    >>> is_steps([{"method": "rinse", "minutes": "5"}]), is_steps([{"method": []}]), is_steps({"method": "rinse"})
    (True, False, False)
    """
    return (
        isinstance(value, list)
        and len(value) <= LONGEST_PLAN
        and all(isinstance(one, dict) and all(is_text(words) for words in one.values()) for one in value)
    )


def is_plans(value: Any) -> bool:
    """Whether a field holds a plan for each of several sets.

    >>> is_plans({"college": [{"method": "strip"}]}), is_plans({"college": {"method": "strip"}}), is_plans([])
    (True, False, False)
    """
    return isinstance(value, dict) and all(is_steps(one) for one in value.values())


def is_words(value: Any) -> bool:
    """Whether a field holds words, each by the name of what they answer.

    >>> is_words({"cause": "grit"}), is_words({"cause": 3}), is_words("grit")
    (True, False, False)
    """
    return isinstance(value, dict) and all(is_text(one) for one in value.values())


def is_lines(value: Any) -> bool:
    """Whether a field holds sentences."""
    return isinstance(value, list) and all(is_text(one) for one in value)


def is_paths(value: Any) -> bool:
    """Whether a field holds paths through a mystery job, with tests and causes that the workbook knows.

    >>> is_paths([]), is_paths([{"job": 3}]), is_paths({})
    (True, False, False)
    """
    from steadyneedle.jobs.path import JobPath
    from steadyneedle.jobs.path_file import check_names

    try:
        for one in value if isinstance(value, list) else [value]:
            check_names(JobPath.of(one))
    except ValueError:
        return False
    return isinstance(value, list)


DRAW: Fields = {
    "attempt": is_count, "typed": is_text, "checked": is_text, "hints": is_count, "solution": is_flag,
}  # fmt: skip
"""What belongs to one draw, and goes with it."""


def is_draw(value: Any) -> bool:
    """Whether a field holds a draw that was put aside.

    >>> is_draw({"attempt": 3, "typed": "9.8 bar"}), is_draw({"attempt": -1}), is_draw("3")
    (True, False, False)
    """
    return isinstance(value, dict) and "attempt" in value and set(value) <= set(DRAW) and not odd_in(value, DRAW)


def is_coming(value: Any) -> bool:
    """Whether a field says what comes back on a day.

    >>> is_coming({"on": "2026-03-02", "comes": True, "attempt": 3}), is_coming({"on": 3}), is_coming(True)
    (True, False, False)
    """
    fields: Fields = {"on": is_text, "comes": is_flag, "attempt": is_count}
    return isinstance(value, dict) and {"on", "comes"} <= set(value) <= set(fields) and not odd_in(value, fields)


PRACTICE: Fields = {
    **DRAW, "version": is_count, "right": is_count, "newest": is_count, "before": is_draw, "tries": is_list,
    "right_on": is_days, "again_on": is_days, "missed_on": is_days, "coming": is_coming,
}  # fmt: skip
PREDICTION: Fields = {
    "recorded": is_text, "shown": is_text, "leaning": is_text, "sure": is_text, "explained": is_flag, "asked": is_flag,
    "earlier": is_list,
}  # fmt: skip
SERIES: Fields = {**PREDICTION, "at": is_count, "answers": is_answers}
HIDDEN_FAULT: Fields = {
    **SERIES, **dict.fromkeys(("leaning said", "leaning sure", "leaning open"), is_text),
}  # fmt: skip
PAGE: Fields = {"lesson": is_text, "places": is_table, "text": is_count, "ground": is_text}
READING: Fields = {"typed": is_text, "sheet": is_text, "judged": is_text}
LOG: Fields = {"from": is_text, "table": is_long_text, "columns": is_text, "decimal": is_text, "sheet": is_text}
PLAN: Fields = {
    **dict.fromkeys(("set", "method", "minutes", "celsius", "percent", "kilohertz", "best", "asked"), is_text),
    "plans": is_plans, "before": is_steps, "at": is_count,
}  # fmt: skip
JOBS: Fields = {"at": is_text, "number": is_text, "pick": is_text, "asked": is_text}
JOB: Fields = {
    "paths": is_paths, "leaning": is_words, "recorded": is_words, "pending": is_text, "asked": is_text,
    "shut": is_flag, "instead": is_text, "stopping": is_flag, "debriefed": is_flag,
    "advice": is_lines, "best": is_table, "file": is_text,
}  # fmt: skip
CHOICES: Fields = {"decimal": is_choice, "first": is_choice}


def odd_in(entry: Mapping[str, Any], fields: Fields) -> list[str]:
    """Names of the fields that hold something they may not.

    >>> odd_in({"attempt": "x", "typed": "9.8 bar", "a note": [1]}, PRACTICE)
    ['attempt']
    """
    return [name for name, fits in fields.items() if name in entry and not fits(entry[name])]
