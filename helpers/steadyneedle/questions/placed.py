"""A place on a trace: the time at which a needle on a picture begins to do something, typed as a quantity."""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.questions.exercise import Givens, QuantityExercise
from steadyneedle.questions.shown import NeedleTrace


@dataclass(frozen=True, kw_only=True)
class PlaceExercise(QuantityExercise):
    """The time of a place on the trace that is shown, in minutes; any unit of time is read.

    The trace decides what can be told: its tolerance is `readings` intervals from one dot to the next, either way.

    Parameters
    ----------
    readings : int
        Dots by which an answer may be off.
    """

    readings: int = 1
    kind: str = "time"
    unit: str = "min"
    relative: float = 0.0
    reading: bool = False

    def fair(self, givens: Givens) -> bool:
        """The place lies on the trace, and the tolerance is what its dots support.

        Raises
        ------
        ValueError
            The exercise shows no trace, or its tolerance is not so many of its dots.
        """
        trace = self.shown(givens)
        if not isinstance(trace, NeedleTrace):
            raise ValueError(f"Exercise {self.name}: a place needs a trace that is shown.")
        apart = max(b - a for a, b in zip(trace.seconds, trace.seconds[1:], strict=False)) / 60
        if abs(self.absolute - self.readings * apart) > 1e-9:
            right = self.readings * apart
            raise ValueError(f"Exercise {self.name}: the tolerance of {self.readings} of its dots is {right:g} min.")
        where = self.names(givens).answer * 60
        return trace.seconds[0] < where < trace.seconds[-1] and super().fair(givens)
