"""The widget that shows when a paper was started, how long it takes, and how many minutes have gone."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import traitlets

from steadyneedle.teaching.frame.publishing import FrameWidget, module_of, publish
from steadyneedle.teaching.frame.troubles import sentence_of

NOTHING_LOCKED = "Nothing is locked; the time is noted."


@dataclass(frozen=True)
class Clock:
    """When a paper was started, and how many minutes it takes."""

    started: datetime.datetime
    minutes: int

    def wire(self) -> dict[str, Any]:
        """The clock as it goes to the page, which puts minutes in the place of `{gone}` and `{more}`.

        >>> at = datetime.datetime(2026, 11, 27, 9, 12, tzinfo=datetime.UTC)
        >>> Clock(at, 60).wire()["started"] == at.timestamp() * 1000
        True
        """
        local = self.started.astimezone()
        at = local.strftime("%H:%M")
        if local.date() != datetime.date.today():
            at = f"on {local.day} {local.strftime('%B')} at {at}"
        return {
            "started": self.started.timestamp() * 1000,
            "minutes": self.minutes,
            "during": f"Started {at}. {{gone}} of {self.minutes} minutes are over.",
            "over": f"Started {at}. {{gone}} minutes: {{more}} over the {self.minutes}. {NOTHING_LOCKED}",
        }


class ClockWidget(FrameWidget):
    """A clock in the page's head; `look` gives a sentence where this window no longer holds the paper."""

    _esm = module_of("make.js", "clock.js")
    clock = traitlets.Dict().tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)

    def __init__(self, clock: Clock, look: Callable[[], str]) -> None:
        self._look = look
        super().__init__(clock=clock.wire())
        self.on_msg(self._heard)

    def _heard(self, _widget: Any, message: dict[str, Any], _buffers: Any) -> None:
        if message.get("what") != "look":
            return
        try:
            self.said = self._look()
        except Exception as error:
            self.said = sentence_of(error)


def show_clock(clock: Clock, look: Callable[[], str]) -> ClockWidget:
    """Put it into the page. Nothing is left for a plain reader."""
    widget = ClockWidget(clock, look)
    publish(widget, {}, {})
    return widget
