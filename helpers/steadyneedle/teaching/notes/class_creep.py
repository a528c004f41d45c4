"""Lesson 04 with a class: fifty minutes, and the questions to ask."""

from __future__ import annotations

from steadyneedle.bench.diagnosis.ten_seconds import slow_creep
from steadyneedle.physics import second_stage
from steadyneedle.physics.si import BAR
from steadyneedle.physics.stages import SecondStage
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.notes.on_creep import DIVISION, first_told
from steadyneedle.teaching.notes.on_reduction import stop_words
from steadyneedle.teaching.notes.with_a_class import Cut, Questions
from steadyneedle.teaching.panels.offered import SheetLoader


def _opens(preferences: Preferences, name: str) -> str:
    return preferences.number(float(second_stage.opening_gauge(SecondStage.named(name))) / BAR, 1)


def cut(preferences: Preferences, _sheets: SheetLoader) -> Cut:
    """What fits into an hour, with a real regulator on the bench meanwhile."""
    seen = slow_creep()
    moved, last = preferences.number(seen.in_ten_seconds / BAR, 2), preferences.number(seen.at_last / BAR, 1)
    return [
        (3, "Hang the real regulator on the bench, decide the stop aloud. Somebody reads it every fifteen seconds, another types.", "Where do we stop?", "no hands here", stop_words(preferences)),
        (6, "Section 1. Ten seconds, hands, record; then let time run.", "Healthy or not? How sure?", "Most: healthy, fairly sure.", f"Healthy: in ten seconds it moved by {moved} bar; at the end it reads {last} bar. Not: what made you sure? Nobody can see it."),
        (10, "Section 2, the nine traces, three of them aloud, the rest alone.", "What tells a settle from a creep?", "Half: how fast it begins.", "Whether the rise dies away. How fast: a settle may begin faster than a creep."),
        (8, "Section 3, hidden fault, one surprise together.", "What do we do next: purge, shut, bleed, soapy water?", "Most: open it.", "Examine first. Opening costs a seat, so it comes last."),
        (5, "Section 4, settle and creep, watched 2 min.", "Up 0.08 bar after ten seconds. Creep?", "A third: yes.", "Nobody can tell yet. Yes: set creep to zero and look at the same ten seconds."),
        (7, "Section 5, watch, division 0.1 bar; from 1 min on.", "How long to tell a creep from none?", "Most: one minute.", f"A needle that holds steady takes about {first_told()} minutes. One minute: half a step hides in the reading."),
        (5, "Section 6, second stages, raise IP.", "Which second stage opens first?", "Half: the balanced one.", f"Sedge, unbalanced, at {_opens(preferences, 'Sedge')} bar; Willow at {_opens(preferences, 'Willow')} bar. So which stage do you open when it hisses? The first."),
        (4, "Section 7. Record, then the table.", "Does the weep make it climb?", "A third: yes.", "No: gas out lowers IP. Yes: you have found two faults; go on looking for what lets gas in."),
        (2, "Judge the class's own log (section 10). Evening: the exercises.", "Conforms, fails, cannot tell?", "no hands here", "Cannot tell is honest. It says how much longer to watch."),
    ]  # fmt: skip


def questions(preferences: Preferences, _sheets: SheetLoader) -> Questions:
    """With their answers."""
    return [
        ("After the ten seconds: who says healthy, who says not, and how sure are you?", f"It creeps: after {preferences.number(slow_creep().lasts / 60, 0)} minutes it reads {preferences.number(slow_creep().at_last / BAR, 1)} bar. Ten seconds can make nobody sure."),
        ("The needle is up 0.1 bar after a minute. Who calls it creep? What would convince you?", "Nobody can say yet. A second minute with as much again speaks for creep, a smaller rise for a settle."),
        ("Our gauge reads to 0.2 bar. How long must we watch?", f"About {first_told(0.2)} minutes for a needle that holds steady. Read to {preferences.number(DIVISION)} bar it takes about {first_told()} minutes. A creep near the limit takes longer."),
        ("IP climbs and the second stage begins to hiss. Which stage do you open?", "The first. The second stage does what it should: it opens and lets the gas out. Turning it in only hides the creep."),
        ("You find a weep at the rim and a climbing needle. How many faults are there, at least?", "Two. The weep takes gas away, so something else lets gas in."),
        ("The needle holds steady. May there be a creep all the same?", "Yes: a small weep can take away as much as comes in. Soapy water finds it."),
        ("Watched at a low supply it passes. Is that enough?", "No. A leak past the seat slows down with the supply. Watch at the supply that the sheet names, and take off the design's own slope when you compare two supplies."),
    ]  # fmt: skip
