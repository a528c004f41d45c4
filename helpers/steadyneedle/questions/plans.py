"""Which lesson asks what."""

from __future__ import annotations

import importlib

from steadyneedle.questions.exercise import Plan

MODULES = {"00": "start_here", "01": "pressure", "02": "reduction", "03": "bands", "04": "creep"}
"""Lesson number -> the module of its exercises, and of its panels."""


def plan_of(number: str) -> Plan:
    """What lesson `number` teaches and asks.

    >>> plan_of("01").title
    'Pressure and its units'
    """
    if number not in MODULES:
        raise ValueError(f"There is no lesson {number}; there are {', '.join(MODULES)}.")
    module = importlib.import_module(f"steadyneedle.questions.bank.{MODULES[number]}")
    plan: Plan = module.plan()
    return plan
