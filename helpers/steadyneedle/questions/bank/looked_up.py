"""Lesson 03, more of it: a sheet in two units, and the rule behind a verdict."""

from __future__ import annotations

from typing import Any

from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Givens, Mistake, Named
from steadyneedle.questions.pressures import BAR_IN_PSI

LINES = ("A", "B", "C")


def _draw_sheet(d: Draws) -> Givens:
    lows = {f"low_{one}": d.decimal(start, end, "0.1") for one, (start, end) in zip(LINES, (("8.4", "8.9"), ("9.2", "9.6"), ("9.8", "10.2")), strict=True)}
    supply = d.one_of((180, 200, 220))
    return {**lows, "name": d.one_of(LINES), "supply": supply, "actual": d.one_of((supply, supply, d.integer(5, 9) * 10)), "off": d.one_of((-4, -3, 2, 2, 3, 3, 7, 8, 9))}


def _look_it_up(w: Named) -> dict[str, Any]:
    lines: dict[str, Any] = {}
    for one in LINES:
        low = w[f"low_{one}"]
        psi = round(low * 14.79 / 5) * 5  # as in lesson 01: the psi line lies a little too high
        lines |= {f"high_{one}": low + 0.4, f"psi_{one}": psi, f"top_{one}": psi + 5}
    low, bottom = w[f"low_{w.name}"], lines[f"psi_{w.name}"]
    reading = bottom + w.off
    inside, named = bottom <= reading <= bottom + 5, w.actual == w.supply
    by_bar = low <= reading / BAR_IN_PSI <= low + 0.4
    other = any(lines[f"psi_{one}"] <= reading <= lines[f"top_{one}"] for one in LINES if one != w.name)
    answer = "neither" if not named else "passes" if inside else "fails"
    return {**lines, "bottom": bottom, "top": bottom + 5, "reading": reading, "inside": inside, "where": "within" if inside else "outside", "by_bar": by_bar, "other": other, "answer": answer}


def _line(name: str) -> str:
    return f"{name}: IP {{low_{name}:.1f}} to {{high_{name}:.1f}} bar | {{psi_{name}}} to {{top_{name}}} psi | at {{supply}} bar supply"


LOOK_IT_UP = ChoiceExercise(
    name="look_it_up", title="Bar columns and psi columns", objectives=(1,), version=2,
    draw=_draw_sheet,
    work=_look_it_up,
    ask=(
        "A sheet with bar and psi columns, simple acceptance (invented):", *(_line(one) for one in LINES),
        "Regulator {name} is on a bench cylinder whose gauge shows {actual} bar. The IP gauge is in psi and reads {reading} psi. What do you write down?",
    ),
    choices={"passes": "It passes by the psi column.", "fails": "It fails by the psi column.", "neither": "Neither yet: read again at the supply that the sheet names."},
    mistakes=(
        Mistake("bar column for psi column", lambda w: {True: "passes", False: "fails"}[w.by_bar] if w.answer in ("passes", "fails") and w.by_bar != w.inside else None, "You turned the reading into bar and used the bar column. The sheet prints limits in psi, and your gauge reads psi: use those."),
        Mistake("another line", lambda w: "passes" if w.other and w.answer == "fails" else None, "You took the band of another regulator. Read along the line of {name}."),
        Mistake("limits misread", lambda w: {"passes": "fails", "fails": "passes"}.get(w.answer), "Look at the line of {name} once more: which two psi limits stand there, and does {reading} psi lie between them?"),
        Mistake("supply overlooked", lambda w: "passes" if w.inside and w.answer == "neither" else None, "The needle lies between the limits. But the band holds at {supply} bar supply, and your cylinder shows {actual} bar."),
        Mistake("supply and limits overlooked", lambda w: "passes" if w.answer == "neither" else None, "The needle lies outside the psi limits of {name}. And the band holds at {supply} bar supply only."),
        Mistake("condemned at another supply", lambda w: "fails" if w.answer == "neither" and not w.inside else None, "Do not condemn it yet: the band holds at {supply} bar supply, and your cylinder shows {actual} bar."),
        Mistake("inside, at another supply", lambda w: "fails" if w.answer == "neither" else None, "The needle lies between the limits of {name}. And at {actual} bar nothing can be said yet: the band holds at {supply} bar."),
        Mistake("supply not compared", lambda w: "neither", "Your cylinder shows the supply that the sheet names. The band holds: judge the reading."),
    ),
    hints=("Find the line first, then the column in your gauge's unit, then the end of the line.", "The line of {name} says {bottom} to {top} psi at {supply} bar supply."),
    working=("{name}: {bottom} to {top} psi at {supply} bar supply. Your cylinder shows {actual} bar.", "{reading} psi lies {where} these limits. {right}"),
    boundaries=lambda w: ((w.reading, w.bottom, 1), (w.reading, w.top, 1), (w.reading / BAR_IN_PSI, w[f"low_{w.name}"], 0.03), (w.reading / BAR_IN_PSI, w[f"high_{w.name}"], 0.03)),
)


PASS, FAIL, NOBODY = "it passes", "it fails", "cannot tell"
BY_RULE = {"clear inside": (PASS, PASS), "near inside": (PASS, NOBODY), "near outside": (FAIL, NOBODY), "clear outside": (FAIL, FAIL)}
"""What simple and what guarded acceptance say of a reading, by where it lies."""


def _draw_card(d: Draws) -> Givens:
    wanted = d.one_of(("simple", "guarded", "both", "neither"))
    possible = [f"{zone}: {said}" for zone, pair in BY_RULE.items() for said in (PASS, FAIL, NOBODY) if _rule(pair, said) == wanted]
    limits = {"low": d.decimal("9.0", "9.6", "0.1"), "U": d.decimal("0.10", "0.20", "0.02"), "side": d.one_of(("low", "high"))}
    return {**limits, "card": d.one_of(tuple(possible)), "near": d.decimal("0.02", "0.08", "0.02"), "beyond": d.decimal("0.04", "0.20", "0.02")}


def _rule(pair: tuple[str, str], said: str) -> str:
    return {(True, False): "simple", (False, True): "guarded", (True, True): "both"}.get((pair[0] == said, pair[1] == said), "neither")


def _which_rule(w: Named) -> dict[str, Any]:
    zone, said = w.card.split(": ")
    by_simple, by_guarded = BY_RULE[zone]
    away = (w.near if zone.startswith("near") else w.U + w.beyond) * (1 if zone.endswith("inside") else -1)
    high = w.low + 1.0
    reading = w.low + away if w.side == "low" else high - away
    return {"high": high, "reading": round(reading, 2), "said": said, "by_simple": by_simple, "by_guarded": by_guarded, "answer": _rule(BY_RULE[zone], said)}


WHICH_RULE = ChoiceExercise(
    name="which_rule", title="Which rule was used?", objectives=(5, 2),
    draw=_draw_card,
    work=_which_rule,
    ask=("A card: band {low:.1f} to {high:.1f} bar, reading {reading:.2f} bar, U = {U:.2f} bar, verdict: {said}. The rule was left out.", "Which rule leads to this verdict?"),
    choices={"simple": "Simple acceptance alone.", "guarded": "Guarded acceptance alone.", "both": "Both lead to it.", "neither": "Neither of the two: the verdict is wrong."},
    mistakes=(
        Mistake("simple, and guarded as well", lambda w: "simple" if w.answer == "both" else None, "Simple acceptance leads to it. But the reading is further from the limit than U, so guarded acceptance leads to it as well."),
        Mistake("not by simple acceptance", lambda w: "simple", "Simple acceptance compares the reading with the limits and nothing else. It says: {by_simple}."),
        Mistake("guarded, and simple as well", lambda w: "guarded" if w.answer == "both" else None, "Guarded acceptance leads to it. But the reading alone says the same, so simple acceptance leads to it as well."),
        Mistake("not by guarded acceptance", lambda w: "guarded", "Guarded acceptance asks that the reading clears the limit by U. It says: {by_guarded}."),
        Mistake("not by both", lambda w: "both" if w.answer != "neither" else None, "The two rules part here. Simple acceptance says: {by_simple}. Guarded acceptance says: {by_guarded}."),
        Mistake("by neither, not by both", lambda w: "both", "Simple acceptance says: {by_simple}. Guarded acceptance says: {by_guarded}. What does the card say?"),
        Mistake("a rule there is", lambda w: "neither", "One of the rules does lead to it. Work out what each of them says of {reading:.2f} bar."),
    ),
    hints=("Work out the verdict under each rule, and compare both with the card.", "Simple acceptance says: {by_simple}. What does guarded acceptance say, with U = {U:.2f} bar?"),
    working=("Simple acceptance says: {by_simple}. Guarded acceptance says: {by_guarded}. The card says: {said}.", "{right}"),
    boundaries=lambda w: tuple((w.reading, limit + off, 0.01) for limit in (w.low, w.high) for off in (-w.U, 0.0, w.U)),
)
