"""Pressures as the bank of exercises writes them."""

from __future__ import annotations

from typing import Any

from steadyneedle.bench.units import Q


def bar(value: float) -> Any:
    """A pressure in bar."""
    return Q(value, "bar")


PSI_IN_BAR = Q(1, "psi").to("bar").magnitude
BAR_IN_PSI = bar(1).to("psi").magnitude
ATM_IN_BAR = Q(1, "atm").to("bar").magnitude
ATM_IN_PSI = ATM_IN_BAR * BAR_IN_PSI
KGF_IN_BAR = Q(1, "kgf/cm2").to("bar").magnitude
