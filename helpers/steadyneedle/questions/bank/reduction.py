"""Lesson 02: how the first stage reduces."""

from __future__ import annotations

from steadyneedle.physics import gas
from steadyneedle.questions.bank.reduction_flow import AFTER_A_PURGE, DROOP, OTHER_SUPPLY, OTHER_VOLUME, UNDER_FLOW
from steadyneedle.questions.bank.reduction_forces import IP_AT_LOW_SUPPLY, LOCK_UP, SUPPLY_WAY, WHICH_WAY, gauge
from steadyneedle.questions.bank.reduction_setting import AFTER_TURNING, DEPTH_CHANGES, SET_IT
from steadyneedle.questions.exercise import Plan, Prediction


def _predictions() -> tuple[Prediction, ...]:
    fall = 293.15 - float(gas.throttled_temperature(201e5, 11e5, 293.15))
    hazel = gauge("Hazel", 200), gauge("Hazel", 50)
    return (
        Prediction(
            "forces", "IP rises by 0.2 bar above lock-up. What happens on the seat?",
            ("nothing", "the valve opens a little", "the surplus presses the valve on its seat"),
            "The surplus presses the valve on its seat. Below lock-up the valve opens instead; at lock-up it just touches.",
        ),
        Prediction(
            "supply", "Hazel is an unbalanced diaphragm. The cylinder empties from 200 to 50 bar. What does its IP do?",
            ("it falls", "it stays", "it rises"),
            f"It rises, from {hazel[0]:.1f} to {hazel[1]:.1f} bar: supply helps to shut Hazel's valve, and that help is gone. Low on air does not mean low IP in every design.",
        ),
        Prediction(
            "depth", "A regulator with an open chamber is taken to 40 m. What does its IP gauge, beside it, read?",
            ("about 4 bar more", "the same", "about 4 bar less"),
            "The same. Ambient presses on the spring side as much as on the gauge. Absolute IP is 4 bar higher. Linden's plunger adds a little over ambient too.",
        ),
        Prediction(
            "droop", "You draw air. What must happen to IP before the valve can open?",
            ("it must fall below lock-up", "it must rise above lock-up", "nothing: the valve opens by itself"),
            "It must fall: only then does the spring win and lift the valve. That fall is called droop.",
        ),
        Prediction(
            "cold", "Air of 20 °C goes from 200 to 10 bar in the first stage. How much colder does it arrive?",
            ("about 3 °C", "about 33 °C", "it arrives warmer"),
            f"About {fall:.0f} °C colder. That is why water freezes in a first stage, and why the needle settles after a purge.",
        ),
        Prediction(
            "leak", "How wide is the hole that makes a needle creep by 0.05 bar a minute?",
            ("about a millimetre", "about a tenth of a millimetre", "about two thousandths of a millimetre"),
            "About 1.6 thousandths of a millimetre. You cannot see it. A hair is forty times as thick.",
        ),
        Prediction(
            "bench", "A sound Juniper, purged for a few seconds. What does the needle do in the half minute after?",
            ("it stands still", "it rises a little and stands", "it climbs on"),
            "It rises a little and stands: cold gas warms. Now choose a fault and compare.",
        ),
    )  # fmt: skip


def plan() -> Plan:
    """Lesson 02."""
    return Plan(
        number="02",
        title="How the first stage reduces",
        minutes="75 to 90",
        objectives=(
            "name the forces in a first stage and find the IP where they balance",
            "predict what IP does as the cylinder empties, in each design",
            "predict what depth and the setting do to IP, and set the pressure the way the design allows",
            "tell droop, a collapse under flow and the settling of cold gas from one another",
            "size a leak from the climb of the needle",
        ),
        exercises=(
            WHICH_WAY, LOCK_UP, SUPPLY_WAY, IP_AT_LOW_SUPPLY, DEPTH_CHANGES, SET_IT, AFTER_TURNING, DROOP, UNDER_FLOW,
            AFTER_A_PURGE, OTHER_VOLUME, OTHER_SUPPLY,
        ),
        predictions=_predictions(),
        warm_up=(("01", "gauge_to_absolute"), ("01", "psi_to_bar"), ("01", "absolute_at_depth")),
    )  # fmt: skip
