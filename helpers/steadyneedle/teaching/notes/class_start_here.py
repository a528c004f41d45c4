"""Lesson 00 with a class: minute by minute, and the questions to ask."""

from __future__ import annotations

from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.pressures import BAR_IN_PSI
from steadyneedle.teaching.notes.with_a_class import Cut, Questions
from steadyneedle.teaching.panels.offered import SheetLoader


def cut(preferences: Preferences, _sheets: SheetLoader) -> Cut:
    """Twenty minutes."""
    psi = preferences.number(10 * BAR_IN_PSI, 0)
    return [
        (5, "Everybody opens lesson 00. Walk round.", "Who sees a figure and not only a still picture?", "Nearly all; help the others now.",
         "Live: go on. Still picture: load the page again (F5), then type the first line again."),
        (5, "The gauge. Ask before anybody records. Then all record, and set it to 10 bar.", "Is the number in psi larger or smaller?", "Most: larger.",
         f"Larger: yes, {psi} psi. Smaller: a psi is the small unit, so it takes more of them."),
        (7, "Exercises 1 and 2, everybody alone. Let them type a number without its unit.", "Who had it refused? Why?", "Half.",
         "Refused: a number without a unit is no reading. Not refused: try it once on purpose."),
        (3, "My progress, at the upper edge.", "What does the table tell you to do next?", "All find it.",
         "Done today is done. It is met when it is right once more on another day: the next warm-up asks."),
    ]  # fmt: skip


def questions(_preferences: Preferences, _sheets: SheetLoader) -> Questions:
    """With their answers."""
    return [
        ("Why does the workbook refuse 9,8 without a unit?", "It has no unit. 9,8 could be bar, MPa or atmospheres, and the difference matters. The comma is fine."),
        ("Where do you look to see what to practise next?", "In the table under My progress: its last column names the next exercise."),
    ]  # fmt: skip
