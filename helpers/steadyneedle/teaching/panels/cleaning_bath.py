"""A part in a bath, and a tool on a surface: two panels of lesson 05."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from steadyneedle.bench.cleaning import BathCourse, Rules, Step, bath_course, hardnesses
from steadyneedle.bench.cleaning.catalogue import law
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures import bath as bath_figure
from steadyneedle.teaching.figures import hardness as hardness_figure
from steadyneedle.teaching.figures.strokes import Row, Scene
from steadyneedle.teaching.frame.panel import Choice, DrawnPanel, ScenePanel, Slider

BATHS = {
    "fresh water": ("fresh-water soak", "ultrasonic water"),
    "neutral detergent": ("neutral detergent", "ultrasonic detergent"),
    "mild acid": ("mild acid", "ultrasonic acid"),
    "alkaline degreaser": ("alkaline degreaser", "ultrasonic alkali"),
}
"""What is in the bath, to the method at rest and the one in an ultrasonic bath."""

LYING = {
    "chrome, scale": ("chromed body", "scale"),
    "brass, verdigris": ("brass land", "verdigris"),
    "steel, oil": ("stainless piston", "hydrocarbon oil"),
    "aluminium, oil": ("bare aluminium part", "hydrocarbon oil"),
    "titanium, salt": ("titanium part", "salt"),
}
"""What lies in it, to part and soil."""

STILL, MOVED = "no", "yes"


def bath_panel(preferences: Preferences, rules: Rules | None) -> DrawnPanel:
    """Soil left and harm done against time, by bath, temperature and ultrasound."""

    @lru_cache(maxsize=64)
    def course(lying: str, bath: str, ultrasound: str, celsius: float) -> BathCourse:
        method = BATHS[bath][ultrasound == MOVED]
        return bath_course(*LYING[lying], Step(method, celsius=celsius), bath_figure.MINUTES, rules=rules)

    def compute(minute: float, bath: str, ultrasound: str, celsius: float, lying: str) -> bath_figure.BathPicture:
        seen = course(lying, bath, ultrasound, celsius)
        times, soil, harm = (np.array(one) for one in (seen.minutes, seen.soil_left, seen.harm))
        harm = np.where(np.isfinite(harm), harm, 1e6)
        here = [float(np.interp(minute, times, one)) for one in (soil, harm)]
        margin = 100 * law("margin")
        if seen.harmed_at == 0:
            harm, here[1] = np.full_like(times, 1e6), 1e6
        return bath_figure.BathPicture(
            minute, times, soil, harm, here[0], here[1], seen.soil_limit, margin,
            _outcome(seen, here[0], here[1], margin), seen.because,
        )  # fmt: skip

    def describe(result: bath_figure.BathPicture) -> str:
        left, minute = preferences.number(result.soil_now, 1), preferences.number(result.minute, 1)
        used = "" if result.harm_now > 1e5 else f", {preferences.number(result.harm_now, 0)} % of the limit used"
        begin = f"After {minute} min {left} % of the soil is left{used}: {result.outcome}."
        because = result.because[:1].upper() + result.because[1:]
        return f"{begin} {preferences.localise(because)}"

    controls = (
        Slider("minute", "Lifted out after", 0, bath_figure.MINUTES, 0.5, "min", 3),
        Choice("bath", "Bath", tuple(BATHS), "mild acid"),
        Choice("ultrasound", "Ultrasound", (STILL, MOVED), STILL),
        Slider("celsius", "Temperature", 20, 60, 5, "°C", 20),
        Choice("lying", "In it lies", tuple(LYING), next(iter(LYING))),
    )
    return DrawnPanel(
        "A part in a bath", controls, compute, describe,
        draw=lambda result: bath_figure.bath_chart(result, preferences.localise),
    )  # fmt: skip


def _outcome(seen: BathCourse, left: float, used: float, margin: float) -> str:
    """What lifting it out now comes to, in two or three words."""
    if seen.not_covered:
        return "not covered, ask the maker"
    if seen.harmed_at == 0:
        return "never"
    if used > 100:
        return "harm"
    if left > seen.soil_limit:
        return "soil left"
    return "clean, but no margin" if used > margin else "clean, no harm"


@dataclass(frozen=True)
class ToolOnSurface:
    """A tool on a surface of some hardness, HV: how many times as hard it is, and what that comes to."""

    tool: str
    tool_hardness: float
    hardness: float
    ratio: float
    verdict: str
    named: str


TOOLS = ("wooden or plastic pick", "nylon brush", "brass pick", "wire brush", "steel pick")
SURFACES = ("bare aluminium part", "brass land", "stainless piston", "titanium part")
VERDICTS = ("leaves no mark", "may leave a mark", "leaves a mark")


def hardness_panel(preferences: Preferences) -> ScenePanel:
    """A tool against surfaces from soft to hard, on a scale of equal ratios."""
    scale = hardnesses()
    tools, surfaces = (
        [hardness_figure.HardnessMark(name, scale[name].hardness) for name in names] for names in (TOOLS, SURFACES)
    )

    def compute(surface: float, tool: str) -> ToolOnSurface:
        hard = scale[tool].hardness
        ratio = hard / surface
        which = 0 if ratio < law("scratch_safe") else 2 if ratio > law("scratch_certain") else 1
        named = next((one.name for one in surfaces if abs(one.hardness - surface) < 1), "")
        return ToolOnSurface(tool, hard, surface, ratio, VERDICTS[which], named)

    def scene(result: ToolOnSurface) -> Scene:
        made = hardness_figure.hardness_scene(
            tools, surfaces, result.tool, (law("scratch_safe"), law("scratch_certain"))
        )
        return made.localised(preferences.localise)

    def row(result: ToolOnSurface) -> Row:
        at = hardness_figure.shift_of(result.hardness)
        return {"band": at, "surface": at, "verdict": _of(result, preferences)}

    def describe(result: ToolOnSurface) -> str:
        named = f", as hard as the {result.named}," if result.named else ""
        hard, soft = preferences.number(result.tool_hardness, 0), preferences.number(result.hardness, 0)
        ends = [preferences.number(law(one), 1) for one in ("scratch_safe", "scratch_certain")]
        return (
            f"A {result.tool} has {hard} HV. On a surface of {soft} HV{named} it {result.verdict}: "
            f"it is {preferences.number(result.ratio, 2)} times as hard, "
            f"and between {ends[0]} and {ends[1]} nobody can be sure."
        )

    controls = (
        Slider("surface", "Hardness of the surface", 40, 400, 2, "", 142),
        Choice("tool", "Tool", TOOLS, "brass pick"),
    )
    return ScenePanel("Tool against surface, HV", controls, compute, describe, scene=scene, row=row)


def _of(result: ToolOnSurface, preferences: Preferences) -> str:
    """The verdict in the picture."""
    return f"{preferences.number(result.ratio, 2)} times as hard: {result.verdict}"
