"""A class's show of hands: how many held each option of a prediction to be right, kept in the learner's file."""

from __future__ import annotations

from typing import Any

from steadyneedle.questions.plans import Plan, Prediction
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
    {'dial': {'142': 9, '98': 3}}
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
        for asked in self._plan.predictions:
            counts = hands.get(asked.name) if isinstance(hands, dict) else None
            if isinstance(asked, Prediction) and isinstance(counts, dict):
                good = {key: counts[key] for key in asked.options if _is_count(counts.get(key))}
                with self._progress.change("lessons", self._plan.number, "hands") as kept:
                    kept[asked.name] = good


def _is_count(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= MOST_HANDS
