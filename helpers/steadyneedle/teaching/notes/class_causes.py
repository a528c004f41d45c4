"""Lesson 04b with a class: fifty minutes, and the questions to ask."""

from __future__ import annotations

from steadyneedle.bench.diagnosis.orders import two_orders
from steadyneedle.questions.bank.stories import CREEPS, START, STORIES
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.notes.on_causes import LOOK_AT
from steadyneedle.teaching.notes.with_a_class import Cut, Questions
from steadyneedle.teaching.panels.believed import believed, known, percent_of
from steadyneedle.teaching.panels.offered import SheetLoader
from steadyneedle.teaching.panels.short_names import short_cause


def _right(preferences: Preferences, minutes: int) -> tuple[str, str]:
    """Of 100 regulators that creep slowly, in how many the leader is right: as advised, and in the trade's order."""
    habit, advised = two_orders(known(), STORIES[CREEPS][:1])
    return preferences.number(100 * advised.after(minutes), 0), preferences.number(100 * habit.after(minutes), 0)


def _leads(many: int) -> str:
    now = believed(known(), START[:many])
    return f"{short_cause(now.leader)}, {percent_of(now.of_leader)}"


def cut(preferences: Preferences, _sheets: SheetLoader) -> Cut:
    """What fits into an hour: beliefs, gas, two orders, and one job for everybody."""
    advised, habit = _right(preferences, LOOK_AT[1])
    return [
        (3, "Say the job number of today, and that nobody says a cause aloud. Write on the board: at how many percent do we stop?", "How sure do you want to be?", "Most: quite sure.", "A number, please. Whoever names none stops when they are tired."),
        (6, "Section 2, record, then findings one by one.", "A slow creep. Where does it sit?", "Half: the diaphragm.", f"At the seat: likeliest after the watch is {_leads(1)}. The diaphragm: what would it let in?"),
        (5, "Section 2, count four findings, then set the new seat to its other outcome and back.", "A new seat, and it climbs as before. What now?", "A third: the new seat is bad.", f"Likeliest with the new seat in: {_leads(4)}; after the loupe {_leads(5)}. A bad new seat: that happens, seldom. What it leaves as it was is likelier."),
        (6, "Section 3. Record, then the table.", "Does a scratched land make it climb?", "A third: yes.", "No: gas goes out there. Yes: then say which way the gas goes."),
        (5, "Section 4. Record, then tests one by one.", "What would change your mind?", "no hands here", "Ask each for the outcome that would prove them wrong. Whoever has none is not testing."),
        (5, "Section 6. Record, then the minutes.", "Spring, diaphragm, land: sooner or later than tests from outside?", "Half: sooner.", f"Later: of 100 regulators {advised} are named right as advised, {habit} in the trade's order. Sooner: what do three looks miss?"),
        (18, "Section 9, one number for everybody, alone. Advice hidden.", "Which cause, how sure, before each test?", "no hands here", "Nothing while they work. Whoever is done shows the debrief: it saves the path by itself."),
        (2, "Lay their paths into job-paths beside your lessons; your own page shows them on one picture. Evening: the exercises and the graded jobs.", "Who opened first?", "A third did.", "A triangle shows it. Compare the minutes and shells of those who opened first with the others. Nobody is named."),
    ]  # fmt: skip


def questions(preferences: Preferences, _sheets: SheetLoader) -> Questions:
    """With their answers."""
    advised, habit = _right(preferences, LOOK_AT[2])
    return [
        ("Soapy water shows nothing. Who says that it is tight?", "Nobody can. It finds most weeps and misses the small ones; a weep is less likely now, and not gone. Gas past the seat it never shows."),
        ("You see a mark on the seat. How sure are you that it is the cause?", "Less than you think. On some good seats you believe to see a mark too. Count both kinds out of 100 regulators."),
        ("Two tests found nothing. Is it twice as sure that nothing is there?", "No. A slight fault escapes both. What the first test missed, the second mostly misses as well."),
        ("A new seat is in and the needle climbs as before. What do you know?", "That it was not the old seat. What a new seat leaves as it was is still there: the edge, the static seal, the balance-stem seal."),
        ("The gauge stands above zero with the pressure off. What do you do before you open anything?", "Take another gauge and watch again. Everything that this gauge told you waits until then."),
        ("The mouthpiece hisses, and IP climbs. May you turn in the second stage's adjuster?", "It hides the hiss and stops no gas. Find what lets the gas in; the second stage comes after the first."),
        ("Why not open at once? You will see what is wrong.", f"You see what can be seen, and no more. After {preferences.number(LOOK_AT[2], 0)} minutes {advised} of 100 are named right as advised, and {habit} of 100 by three looks. And nobody can watch an opened stage as it came in."),
        ("No test is left, and two causes are still possible. What do you tell the customer?", "Both, how likely each is, and what each takes. Do not sell a guess as a finding."),
    ]  # fmt: skip
