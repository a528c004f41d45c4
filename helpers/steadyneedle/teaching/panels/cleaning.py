"""Panels and tables of lesson 05: soils, parts, the grid of choices, what never meets, tools."""

from __future__ import annotations

from functools import partial

from steadyneedle.bench.cleaning import parts, scratch, soils
from steadyneedle.bench.cleaning.catalogue import NEVER, known_parts, known_soils
from steadyneedle.bench.cleaning.catalogue import rows as limit_rows
from steadyneedle.bench.cleaning.grid import grid
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.frame.form import FormSession
from steadyneedle.teaching.frame.grids import GridAnswer, GridPanel
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.panels.cleaning_bath import SURFACES, TOOLS, bath_panel, hardness_panel
from steadyneedle.teaching.panels.cleaning_plan import own_plan, rules_in_use, worked_rows
from steadyneedle.teaching.panels.offered import Live, Makers, Rows, SheetLoader, Table

SHORT = {
    "ultrasonic water": "water", "ultrasonic detergent": "detergent", "ultrasonic acid": "acid",
    "ultrasonic alkali": "alkali", "fresh-water soak": "water", "neutral detergent": "detergent", "mild acid": "acid",
    "alkaline degreaser": "alkali", "wooden or plastic pick": "wooden pick", "not covered: ask the maker": "ask",
    "find where it came from": "find out", "not found there": "–", "solvent wipe": "cold wipe",
    "nylon brush": "brush",
}  # fmt: skip
"""A method or an answer to the words in a cell."""


METALS = ("brass", "chrome on brass", "stainless steel", "spring steel", "aluminium", "anodised aluminium", "titanium")
NEVER_SHOWN = (*METALS, "PA")
"""Materials of the parts that stay in, of which the table of what never meets speaks."""


def grid_panel(preferences: Preferences) -> GridPanel:
    """The best method for each soil on each part."""
    rules = rules_in_use().rules
    hard = tuple(name for name in parts() if not known_parts()[name].comes_out)
    soft = tuple(name for name in parts() if known_parts()[name].comes_out)

    chosen = {part: grid(part, rules) for part in parts()}

    def answer(soil: str, part: str) -> GridAnswer:
        method, reason = chosen[part][soil]
        said = preferences.localise(reason)
        return GridAnswer(SHORT.get(method, method), f"{soil.capitalize()} on the {part}: {said}")

    return GridPanel("What deals with it", "soil", soils(), {"hard parts": hard, "parts that come out": soft}, answer)


def soil_rows(preferences: Preferences) -> Table:
    """Soils, how one knows them, and how much may stay."""
    listed = known_soils().values()
    rows: Rows = [
        (
            one.name,
            one.looks,
            f"{preferences.number(one.limit_percent, 0)} %" if one.limit_percent else "nothing",
            one.source,
        )
        for one in listed
    ]
    return ("soil", "how you know it", "what may stay", "source"), rows


def never_rows() -> Table:
    """What a material must never touch, and why."""
    found: dict[str, list[tuple[str, str]]] = {}
    for row in limit_rows("limits"):
        if row["limit_minutes"] == NEVER and row["part"] in NEVER_SHOWN:
            found.setdefault(row["part"], []).append((row["method"], row["why"]))
    rows: Rows = [
        (material, ", ".join(method for method, _ in never), "; ".join(dict.fromkeys(why for _, why in never)))
        for material, never in found.items()
    ]
    return ("material", "never", "why"), rows


def scratch_rows(preferences: Preferences) -> Table:
    """Each tool on each surface."""
    words = {"safe": "no mark", "possible": "may mark", "certain": "marks"}
    rows: Rows = []
    for surface in ("chromed body", *SURFACES):
        found = [scratch(tool, surface) for tool in TOOLS]
        under = preferences.number(found[0].surface.hardness, 0)
        rows.append((f"{surface}, {under} HV", *(words[one.outcome] for one in found)))
    hard = [preferences.number(scratch(tool, "brass land").tool.hardness, 0) for tool in TOOLS]
    return ("surface", *(f"{tool}, {hv} HV" for tool, hv in zip(TOOLS, hard, strict=True))), rows


def panels(preferences: Preferences, _sheets: SheetLoader) -> Makers[Live]:
    """The panels of lesson 05, by name."""
    return {
        "grid": lambda: grid_panel(preferences),
        "bath": lambda: bath_panel(preferences, rules_in_use().rules),
        "hardness": lambda: hardness_panel(preferences),
    }


def forms(progress: Progress, _sheets: SheetLoader) -> Makers[FormSession]:
    """The forms of lesson 05, by name."""
    return {"plan": lambda: own_plan(progress, ("lessons", "05", "own plan"))}


def tables(preferences: Preferences, _sheets: SheetLoader) -> Makers[Table]:
    """The tables of lesson 05, by name."""
    return {
        "soils": partial(soil_rows, preferences), "never": never_rows, "scratch": partial(scratch_rows, preferences),
        "worked": partial(worked_rows, preferences),
    }  # fmt: skip
