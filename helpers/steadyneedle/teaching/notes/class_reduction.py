"""Lesson 02 with a class: fifty minutes, and the questions to ask."""

from __future__ import annotations

from steadyneedle.physics import gas
from steadyneedle.physics.first_stage import SURFACE
from steadyneedle.physics.si import BAR
from steadyneedle.questions.bank.under_flow import climb
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.notes.on_reduction import FULL, HOLE, LOW, VOLUME, droop_note, stop_words
from steadyneedle.teaching.notes.with_a_class import Cut, Questions
from steadyneedle.teaching.panels.offered import SheetLoader
from steadyneedle.teaching.panels.reduction import absolute, lock_up


def cut(preferences: Preferences, _sheets: SheetLoader) -> Cut:
    """What fits into an hour: both halves, without the sums."""
    number = preferences.number
    high, low = (number(lock_up("Hazel", bar), 1) for bar in (FULL, LOW))
    fall = 20 + 273.15 - float(gas.throttled_temperature(absolute(FULL), 10 * BAR + SURFACE, 293.15))
    rate = number(climb(HOLE, FULL, VOLUME), 2)
    return [
        (3, "Warm-up 1, aloud.", "Gauge or absolute?", "no hands here", "Say which it is before you give the number."),
        (8, "Section 1, forces, Alder. Record, then move the control 'IP above lock-up' below zero and back.", "IP rises by 0.2 bar: what happens on the seat?", "A third: it opens.",
         "Presses: yes, the extra force has nowhere else to go. Opens: that happens below lock-up; look at the arrows."),
        (8, f"Section 2, supply. Record, then from {FULL} to {LOW} bar.", "The cylinder empties. Hazel's IP: falls, stays, rises?", "Most: it falls.",
         f"Rises: yes, from {high} to {low} bar. Falls: true for Alder. Say the design before you say the way."),
        (5, "Section 3, depth table only.", "At 40 m the gauge reads more, the same, less?", "Half: more.", "Same: yes. More: that is absolute IP."),
        (2, "The pause: three questions aloud.", "Which force opens the valve?", "no hands here", "The main spring. Hazel stands higher on an empty cylinder. An adjuster cures no leak."),
        (6, "Section 4, droop, 400 L/min.", "Is a dip of a bar on a purge a fault?", "Half: yes.", f"No: {droop_note(preferences)[1][0].lower()}{droop_note(preferences)[1][1:]} Yes: several bar would be."),
        (3, f"Section 5, cold, {FULL} bar.", "How much colder?", "Most: a few degrees.", f"About {number(fall, 0)} °C. That is why it can ice."),
        (5, "Section 6, leak, as it stands.", "How wide is the hole?", "Most: a tenth of a millimetre.", f"Thousandths: yes. {number(HOLE)} µm make {rate} bar a minute, and no loupe shows such a hole."),
        (8, "Section 7, bench. Open the valve, purge, watch. Then a surprise, fault hidden.", "Settle or creep? What do you look at?", "Half call the settle a creep.", "Settle: it dies away, wait for it. Creep: you said it too early. And where do we stop? " + stop_words(preferences)),
        (2, "My progress. Evening: the exercises.", "What is your next line?", "no hands here", "Setting, droop and the leak sums are for the evening."),
    ]  # fmt: skip


def questions(preferences: Preferences, _sheets: SheetLoader) -> Questions:
    """With their answers."""
    high, low = (preferences.number(climb(HOLE, FULL, volume), 3) for volume in (VOLUME, VOLUME / 2))
    return [
        ("The cylinder empties. Who says IP falls? For which design?", "It falls in an unbalanced piston (Alder), rises in an unbalanced diaphragm (Hazel), and hardly moves in balanced designs."),
        ("I take off two hoses and the needle climbs faster. Is the leak larger now?", f"No. The same gas fills a smaller volume. A hole that gives {high} bar a minute in {VOLUME} mL gives {low} in half of that."),
        ("The needle rises after a purge. What do you look at before you say creep?", "Whether the rise dies away. Cold gas warms and settles; a creep goes on by as much each minute."),
        ("Both needles fall when I purge. What do you turn first?", "The cylinder valve: it may be only part open. If the bench's supply needle stays up and only IP falls, look at the filter."),
        ("Why does blanking every port of a creeping stage end badly?", "Nothing is left that can open. IP climbs towards the cylinder pressure until a gauge or a hose bursts."),
        ("The workshop is cold and the first stage has ice on it. Do you judge it?", "No. Ice can hold the valve open, or stop it from following depth. Let it dry and warm up, then test at room temperature."),
    ]  # fmt: skip
