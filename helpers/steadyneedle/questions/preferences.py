"""How a learner reads and types numbers."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from steadyneedle.bench.units import format_number, formatted, label

DECIMALS = {"comma (9,8)": "comma", "point (9.8)": "point", "either": None}

FIRST = ("bar", "psi")

WRITTEN = {"ml": "mL"}
"""A unit's short form to how questions write it: a small l looks like a one."""


def unit_label(unit: Any) -> str:
    """A unit as questions write it, and so as every reply to an answer does.

    >>> from steadyneedle.bench.units import Q
    >>> unit_label(Q(1, "mL").units), unit_label(Q(1, "L").units)
    ('mL', 'L')
    """
    said = label(unit)
    return WRITTEN.get(said, said)


@dataclass(frozen=True)
class Preferences:
    """How a learner reads and types numbers."""

    decimal: str | None = None
    first: str = "bar"

    @property
    def mark(self) -> str:
        """The decimal mark our sentences use."""
        return "," if self.decimal == "comma" else "."

    def localise(self, text: str) -> str:
        """A sentence with its decimal points turned into this learner's mark."""
        return re.sub(r"(?<=\d)\.(?=\d)", ",", text) if self.decimal == "comma" else text

    def format(self, quantity: Any, decimals: int | None = None) -> str:
        """A quantity in this learner's decimal mark."""
        number = formatted(quantity, decimals, self.decimal or "point").partition(" ")[0]
        return f"{number} {unit_label(quantity.units)}".rstrip()

    def number(self, value: float, decimals: int | None = None) -> str:
        """A number in this learner's decimal mark."""
        return format_number(value, decimals, self.decimal or "point")

    def both(self, quantity: Any, decimals: tuple[int, int] = (1, 0)) -> str:
        """A pressure in bar and psi, the learner's first unit first; `decimals` for bar and psi."""
        bar, psi = self.format(quantity.to("bar"), decimals[0]), self.format(quantity.to("psi"), decimals[1])
        return f"{bar} ({psi})" if self.first == "bar" else f"{psi} ({bar})"
