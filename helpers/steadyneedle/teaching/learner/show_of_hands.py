"""A class's show of hands: how many held each option of a prediction to be right, kept in the learner's file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from steadyneedle.questions.plans import Plan, Prediction, Series
from steadyneedle.teaching.learner.progress import Progress

MOST_HANDS = 999


class ShowOfHands:
    """The hands counted in one lesson.

    >>> import tempfile
    >>> from pathlib import Path
    >>> from steadyneedle.questions.plans import plan_of
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     progress = Progress(Path(folder))
    ...     ShowOfHands(progress, plan_of("01")).keep({"hands": {"dial": {"142": 9, "98": 3, "nothing": 1, "150": -1}}})
    ...     progress.entry("lessons", "01", "hands")
    {'dial': {'98': 3, '142': 9}}
    """

    def __init__(self, progress: Progress, plan: Plan) -> None:
        self._progress = progress
        self._plan = plan

    def keep(self, what: dict[str, Any]) -> None:
        """Keep what the page counted, as far as it makes sense.

        Raises
        ------
        StoreError
            Nothing was saved.
        """
        hands = what.get("hands")
        for name, options in self._asked():
            counts = hands.get(name) if isinstance(hands, dict) else None
            if isinstance(counts, dict):
                good = {key: counts[key] for key in options if _is_count(counts.get(key))}
                with self._progress.change("lessons", self._plan.number, "hands") as kept:
                    kept[name] = good

    def _asked(self) -> Iterator[tuple[str, dict[str, str]]]:
        """Each thing that a class is asked, and its options."""
        for asked in self._plan.predictions:
            if isinstance(asked, Prediction):
                yield asked.name, asked.options
            elif isinstance(asked, Series):
                yield from ((asked.one_of(number), asked.options) for number in range(1, asked.count + 1))


def _is_count(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= MOST_HANDS
