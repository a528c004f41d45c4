"""Sentences of lesson 01 whose numbers are computed: factors, ambient, a band quoted twice, the real-gas factor."""

from __future__ import annotations

from functools import partial

import numpy as np

from steadyneedle.bench.regulators import SEA_METRE
from steadyneedle.bench.sheets import Sheet, load_sheets
from steadyneedle.bench.units import Q, formatted
from steadyneedle.foundation import places
from steadyneedle.physics import gas
from steadyneedle.physics.si import BAR
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.pressures import ATM_IN_BAR, BAR_IN_PSI, KGF_IN_BAR
from steadyneedle.teaching.panels.offered import Makers, SheetLoader

TEN_METRES, FULL = 10, (200, 300)
"""m of sea water; bar of two full cylinders."""

NEARLY_IDEAL = 0.02
"""So far from 1 the real-gas factor may lie before we say that air is no ideal gas."""


def factor_note(preferences: Preferences) -> tuple[str, ...]:
    """How bar and psi hang together."""
    pascal = [f"{Q(1, unit).to('Pa').magnitude:_.7g}".replace("_", " ") for unit in ("bar", "psi")]
    return (
        f"> psi = bar × {preferences.number(BAR_IN_PSI, 4)}",
        preferences.localise(f"1 bar is {pascal[0]} Pa and 1 psi is {pascal[1]} Pa."),
    )


def ambient_note(preferences: Preferences) -> tuple[str, ...]:
    """What the air and the water press."""
    air, water = preferences.number(ATM_IN_BAR, 3), preferences.number(TEN_METRES * SEA_METRE / BAR)
    return (
        f"At sea level the air presses with about {air} bar. In the mountains it presses less. "
        f"Under water, every {TEN_METRES} m of sea water adds {water} bar.",
    )


def _example() -> Sheet:
    """The sheet with two bands side by side."""
    return next(one for one in load_sheets(places.datasets() / "sheets").values() if len(one.printed_bands) > 1)


def quoted_band_note(preferences: Preferences) -> tuple[str, ...]:
    """A band that a sheet prints in bar and in psi."""
    sheet = _example()
    bar, psi = (
        preferences.localise(f"{formatted(band.low).rpartition(' ')[0]} to {formatted(band.high)}")
        for band in sheet.printed_bands[:2]
    )
    return (
        f"Our invented sheet of {sheet.name} gives {bar}, and beside it {psi}. "
        "Workshops quote such a pair as if it were one band (common practice, no source).",
    )


def real_gas_note(preferences: Preferences) -> tuple[str, ...]:
    """Where air stops being nearly an ideal gas, and the real-gas factor of two full cylinders."""
    gauges = np.arange(10.0, 351.0, 10.0)
    factors = gas.real_gas_factor(gauges * BAR + gas.REFERENCE_PRESSURE)
    last = gauges[np.abs(factors - 1) > NEARLY_IDEAL][0] - 10
    full = [f"{preferences.number(float(factors[gauges == bar][0]), 2)} at {bar} bar" for bar in FULL]
    room = preferences.number(gas.REFERENCE_TEMPERATURE - 273.15, 0)
    return (
        f"Up to about {preferences.number(float(last), 0)} bar air differs from an ideal gas by at most "
        f"{preferences.number(NEARLY_IDEAL * 100, 0)} percent. At higher pressures the molecules of air get in each "
        "other's way, and less fits in.",
        "> free air = water volume × absolute pressure ÷ (1 atm × Z)",
        f"Z is the real-gas factor. At {room} °C it is about {' and '.join(full)}.",
    )


def summary_note(preferences: Preferences) -> tuple[str, ...]:
    """The factors to keep."""
    psi, kgf, atm = (
        preferences.number(one, places) for one, places in ((BAR_IN_PSI, 3), (KGF_IN_BAR, 3), (ATM_IN_BAR, 3))
    )
    mega = preferences.number(Q(1, "bar").to("MPa").magnitude)
    kilo, water = preferences.number(Q(1, "bar").to("kPa").magnitude, 0), preferences.number(TEN_METRES * SEA_METRE / BAR)
    return (
        f"- 1 bar = {kilo} kPa = {mega} MPa = {psi} psi. 1 kgf/cm² = {kgf} bar. 1 atm = {atm} bar. "
        f"{TEN_METRES} m of sea water make about {water} bar.",
    )


def notes(preferences: Preferences, _sheets: SheetLoader) -> Makers[tuple[str, ...]]:
    """Sentences of lesson 01, by name."""
    made = {
        "factor": factor_note, "ambient": ambient_note, "quoted_band": quoted_band_note, "real_gas": real_gas_note,
        "summary": summary_note,
    }  # fmt: skip
    return {name: partial(make, preferences) for name, make in made.items()}
