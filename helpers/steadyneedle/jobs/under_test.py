"""Which regulator stands on the bench and what is wrong with it, chosen or left to a surprise."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.foundation.draws import Draws
from steadyneedle.physics.faults import Fault

SURPRISE = "surprise"
"""Stands for a fault that the seed draws."""

SEVERITIES = {"slight": 0.0, "plain": 0.5, "gross": 1.0}
"""Name of a size to the severity that the fault table goes by."""


@dataclass(frozen=True)
class UnderTest:
    """A regulator to put on the bench.

    Parameters
    ----------
    design : str
        Name of a first stage.
    fault, other : str
        Key of a fault that the design can have, `SOUND` for none or `SURPRISE` for a drawn one.
    severity : str
        One of `SEVERITIES`; it holds for both faults.
    seed : int
        Which regulator of its kind: what a surprise is, where grit goes, how a stiff diaphragm tilts.

    Raises
    ------
    ValueError
        An unknown design or severity, or a fault that the design cannot have.

    Examples
    --------
    >>> UnderTest("Hazel", "seat_nicked", "gross").faults()
    {'seat_nicked': 1.0}
    """

    design: str = "Juniper"
    fault: str = SOUND
    severity: str = "plain"
    other: str = SOUND
    seed: int = 1

    def __post_init__(self) -> None:
        possible = self.possible()  # it refuses an unknown design
        if self.severity not in SEVERITIES:
            raise ValueError(f"There is no severity '{self.severity}'; there are {', '.join(SEVERITIES)}.")
        for key in (self.fault, self.other):
            if key not in (SOUND, SURPRISE, *possible):
                raise ValueError(f"{self.design} cannot have the fault '{key}'; it can have {', '.join(possible)}.")

    def possible(self) -> tuple[str, ...]:
        """Keys of the faults that this design can have."""
        return Fault.keys(self.design)

    @property
    def surprising(self) -> bool:
        """Whether a surprise is among its faults."""
        return SURPRISE in (self.fault, self.other)

    def faults(self) -> dict[str, float]:
        """Key of each fault to its severity, 0 to 1; a surprise is a fault of its own, never one that stands beside it.

        >>> len(UnderTest(fault=SURPRISE, other=SURPRISE).faults())
        2
        """
        chosen = (self.fault, self.other)
        # one order of all that is left, dealt from the top: two surprises cannot be the same fault; each fault draws
        # its own place in it, so that a row added to the fault table moves none of the others
        left = [key for key in self.possible() if key not in chosen]
        dealt = iter(sorted(left, key=self._place))
        keys = [next(dealt) if key == SURPRISE else key for key in chosen]
        return {key: SEVERITIES[self.severity] for key in keys if key != SOUND}

    def _place(self, fault: str) -> float:
        """Where a fault stands in the order that the seed draws, 0 to 1."""
        return Draws("surprise", self.design, self.seed, fault).fraction()

    def changed(self, **chosen: str) -> UnderTest:
        """The same with other choices; a fault that the new design cannot have is then not there.

        >>> UnderTest("Alder", "head_seal").changed(design="Hazel").fault
        'sound'
        """
        whole = {"design": self.design, "fault": self.fault, "severity": self.severity, "other": self.other, **chosen}
        possible = (SOUND, SURPRISE, *Fault.keys(whole["design"]))
        kept = {name: key for name, key in whole.items() if name not in ("fault", "other") or key in possible}
        return UnderTest(**kept, seed=self.seed)

    def another(self) -> UnderTest:
        """The next regulator of its kind; where a fault is a surprise, another one."""
        made = dataclasses.replace(self, seed=self.seed + 1)
        while made.surprising and made.faults() == self.faults():
            made = dataclasses.replace(made, seed=made.seed + 1)
        return made
