"""Lesson 01 with a class: fifty minutes, and the questions to ask."""

from __future__ import annotations

from steadyneedle.bench.regulators import SEA_METRE
from steadyneedle.physics import gas
from steadyneedle.physics.si import BAR
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.pressures import ATM_IN_BAR, BAR_IN_PSI, KGF_IN_BAR, PSI_IN_BAR
from steadyneedle.teaching.notes.with_a_class import Cut, Questions
from steadyneedle.teaching.panels.offered import SheetLoader


def cut(preferences: Preferences, _sheets: SheetLoader) -> Cut:
    """What fits into an hour; the rest is for the evening."""
    number = preferences.number
    high = number(150 * PSI_IN_BAR, 1)
    at_300, at_200 = gas.cylinder_content(0.012, [300 * BAR + gas.REFERENCE_PRESSURE, 200 * BAR + gas.REFERENCE_PRESSURE])
    below, above = number(145 * PSI_IN_BAR, 2), number(150 * PSI_IN_BAR, 2)
    return [
        (4, "Warm-up 1 on the wall; everybody types.", "Who multiplied, who divided?", "A third divided.", "Multiplied: yes, a psi is small. Divided: think which unit is larger before you reach for the factor."),
        (8, "Section 1, dial. Record, then set 9.8 bar.", "Who says 98 psi, 112, 142, 150?", "142 half, 150 a third, 98 some.",
         f"142: yes. 150: that is {high} bar. 98: ten to one is too few; it takes {number(BAR_IN_PSI, 1)} psi to make one bar."),
        (8, "The exercise with a dial in a picture, twice with new numbers.", "What is one step worth? Read it aloud.", "A third are one mark short.", "Right: say how you found the step. One mark short: the number itself is no mark."),
        (5, "Section 2, rulers at 10 bar.", "Which three units lie close together?", "Most find them.", f"They differ by up to {number(100 * (ATM_IN_BAR / KGF_IN_BAR - 1), 1)} percent, and that carries a needle out of its band."),
        (10, "Section 3, depth. Record, then 30 m.", "Gauge beside it: more, same, less? Absolute IP?", "Half say the gauge rises.",
         f"Same: yes, the gauge is down there too. Rises: absolute IP does, by {number(30 * SEA_METRE / BAR, 0)} bar."),
        (9, "Section 4. Record, then the table.", "Same band, higher or lower?", "Most: the same.", f"The same: in bar the psi line is {below} to {above} bar. Higher: yes; so which line holds? Ask the maker."),
        (4, "Section 5, cylinder content at 200, then 300 bar.", "How many times the air?", "Most: one and a half times.", f"Less: yes, {number(float(at_300 / at_200), 2)} times. One and a half: the pressure is, the air is not."),
        (2, "My progress. Evening: the exercises left.", "What is your next line?", "no hands here", "It comes back in lesson 02's warm-up."),
    ]  # fmt: skip


def questions(preferences: Preferences, _sheets: SheetLoader) -> Questions:
    """With their answers."""
    number = preferences.number
    return [
        ("Before you record the first prediction: who says 98 psi for 9.8 bar, who says 142?", f"{number(9.8 * BAR_IN_PSI, 0)} psi: bar times {number(BAR_IN_PSI, 1)}."),
        ("The barometer falls by 30 mbar. Does the IP gauge move?", "Not in a first stage whose spring side is open: ambient presses less on the spring side and less around the gauge. IP over ambient stays; absolute IP falls by 30 mbar."),
        ("A sheet prints two bands that disagree. What do you do on the bench?", "Do not choose the one that suits. Ask the maker which line holds, judge by it, and write down which one you used."),
        ("Who gains when a limit is rounded outward?", "Nobody in the end. The workshop passes more regulators today, and some of them lie outside the sheet."),
        ("145 psi or 150 psi: which of them is 10 bar?", f"145 psi: it is {number(145 * PSI_IN_BAR, 2)} bar. 150 psi is {number(150 * PSI_IN_BAR, 2)} bar, although people like to say 10."),
    ]  # fmt: skip
