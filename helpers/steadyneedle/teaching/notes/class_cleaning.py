"""Lesson 05 with a class: fifty minutes, and the questions to ask."""

from __future__ import annotations

from steadyneedle.bench.cleaning import Step, bath_course, best_plan, cell, scratch
from steadyneedle.bench.cleaning.catalogue import law
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.notes.with_a_class import Cut, Questions
from steadyneedle.teaching.panels.cleaning_plan import worked_verdict
from steadyneedle.teaching.panels.offered import SheetLoader


def cut(preferences: Preferences, _sheets: SheetLoader) -> Cut:
    """What fits into an hour, with a bowl of dirty parts on the table."""
    course = bath_course("chromed body", "scale", Step("mild acid"))
    clean, harmed = (preferences.number(one, 1) for one in (course.clean_at, course.harmed_at))
    touch = scratch("brass pick", "brass land")
    ratio, minutes = preferences.number(touch.ratio, 1), preferences.number(worked_verdict().minutes, 0)
    return [
        (4, "Pass round a bowl of dirty parts, dry and vented. Everyone names soil, part and finish of one.", "What is on it, and on what?", "Half name the soil, few the finish.", "Soil named: say how you know. Finish not named: look at a worn edge."),
        (8, "Section 2. Hands, record, then the grid: go along the row of oil.", "Does aluminium with oil go into the alkaline degreaser?", "A third: yes, for a moment.", "No: yes, never. For a moment: alkali eats from the first moment on. Detergent takes the oil."),
        (9, "Section 3, bath panel. Record, lift out at 3, 5, 8 min. Then ultrasound.", "Half is gone. When is all gone?", "Most: after as long again.", f"Never quite: yes. As long again: look at the rest. At rest the scale needs {clean} min and the chrome allows {harmed} min."),
        (7, "Section 5, hardness. Record how sure, then wood, brass, steel.", "Brass pick, brass land: does it mark?", "Half: no, brass is soft.", f"May: yes, it is {ratio} times as hard as the land. No: soft against what?"),
        (8, "Section 6. Record, then read the worked plan aloud, one line each.", "What happens to the fused ring?", "A third: into the bath with the housing.", f"Replaced: yes, and its rest is cleaned off. The whole plan takes {minutes} min."),
        (8, "Section 7, in pairs: build a plan for the land with a green crust, then swap and attack it.", "Which step is missing?", "Most forget the rinse or the retest.", "Found: say what would have happened. Not found: read the line that begins with Missing."),
        (4, "Section 8. Record, then read the refusal aloud.", "Spotless: may you call it clean for oxygen?", "A third: yes.", "No: yes, nobody sees a film that burns. Yes: who would sign that?"),
        (2, "My progress. Evening: the exercises.", "What do you do first with a dirty part?", "no hands here", "Look at what it is made of, before you look at the dirt."),
    ]  # fmt: skip


def questions(preferences: Preferences, _sheets: SheetLoader) -> Questions:
    """With their answers."""
    rusty = cell("stainless spring", "rust")
    smear = best_plan(["brass land", "stainless spring"], [("brass land", "rust"), ("stainless spring", "rust")])
    return [
        ("Why does the bath get slower?", "Of what is left, the same share goes in each minute. The less is left, the less goes. The harm to the part goes on at one speed."),
        ("The bath is too slow. Make it hotter?", f"Ten degrees more take soil off {preferences.number(law('removal_q10'), 1)} times as fast and harm the part {preferences.number(law('harm_q10'), 1)} times as fast. Mostly it is better to move the bath than to heat it."),
        ("There is rust on a brass body. What do you clean?", f"Brass does not rust. Find the iron first: a spring, a clip, a cylinder, else it is back in a month. And the smear? Our rules say: {smear.because}"),
        ("A rusty spring: bath or bin?", f"{rusty.reason[:1].upper()}{rusty.reason[1:]}"),
        ("Bleach, then acid, with a quick dip in detergent between. Fine?", "No. A dip in another bath is no rinse. Acid and bleach give chlorine. Rinse in running fresh water, long enough, and better not use bleach here at all."),
        ("Your shop leaves bodies in the ultrasonic bath for half an hour, a standard says less. Who is right?", "Both may be. The standard's bath is hot and strong and is repeated until its test finds nothing. Your manual decides, and soft parts stay out of both."),
        ("The customer says: it is only for nitrox. What do you do?", "Stop and ask: which gas, and what does the maker's manual say? Nothing in this course makes a part clean for oxygen."),
    ]  # fmt: skip
