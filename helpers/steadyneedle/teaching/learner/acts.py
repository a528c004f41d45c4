"""What a learner has done that no question asks for: moved a control, asked for a hint, looked at the progress."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from steadyneedle.questions.plans import MODULES, plan_of
from steadyneedle.teaching.frame.troubles import sentence_of
from steadyneedle.teaching.learner import record
from steadyneedle.teaching.learner.progress import Progress

REPORTED = {("moved", ""): "moved", ("act", "hint"): "hint", ("seen", ""): "progress"}
"""What a widget's page says, and the button it names, to the name of the act."""


class Acts:
    """Listens to what the widgets of a page report, and keeps each act once, whichever lesson it was done in.

    Parameters
    ----------
    progress : Progress
        The learner's file.
    after : callable
        Called when an act was kept.
    """

    def __init__(self, progress: Progress, after: Callable[[], None]) -> None:
        self._progress = progress
        self._after = after
        self._kept: set[str] = set()

    def hear(self, _widget: Any, message: dict[str, Any], _buffers: Any) -> None:
        """Keep what a message reports, if it reports an act; a file that cannot be written is said by the forms."""
        try:
            name = REPORTED.get((str(message.get("what")), str(message.get("button", ""))))
            if name and name not in self._kept:
                self._kept.add(name)
                if self._keep(name):
                    self._after()
        except Exception as error:  # it has no face to say it with
            sentence_of(error)

    def _keep(self, name: str) -> bool:
        """Whether the act was entered now."""
        entered = False
        for number in MODULES:
            wanted = any(one.name == name for one in plan_of(number).acts)
            if wanted and not self._progress.entry("lessons", number, "acts", name):
                with self._progress.change("lessons", number, "acts", name) as state:
                    state["on"] = record.today()
                entered = True
        return entered
