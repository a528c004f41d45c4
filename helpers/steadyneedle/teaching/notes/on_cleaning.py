"""Sentences of lesson 05 whose numbers come from the rules of cleaning in use."""

from __future__ import annotations

from functools import partial

from steadyneedle.bench.cleaning import Step, bath_course, oxygen_service, ultrasonic_times
from steadyneedle.bench.cleaning.catalogue import law
from steadyneedle.bench.cleaning.catalogue import rows as rows_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.panels.cleaning_plan import rules_in_use, worked_verdict
from steadyneedle.teaching.panels.offered import Makers, SheetLoader

ENRICHED = (("29 CFR 1910.146", 23.5), ("29 CFR 1915.11", 22.0), ("a note of the US Navy of 2005", 25.0))
"""Percent of oxygen above which a gas counts as enriched, and who says so."""

CUSTOM = 40
"""Percent at which some workshops draw the line; common practice, no source."""


def own_rules_note(preferences: Preferences) -> tuple[str, ...]:
    """Whose rules are in use: the workbook's, and which rows of an instructor's file lie over them."""
    found = rules_in_use()
    ours = "These are the workbook's own teaching rules. Each says where it is from; many are invented."
    if found.trouble:
        return (f"**{preferences.localise(found.trouble)}**", ours)
    if found.rules is None:
        return (ours, "The manual of your regulator goes before them. Your instructor can lay its rules over these.")
    lines = [
        f"- {preferences.localise(found.rules.named(rule))}: {rule.why} ({rule.source})" for rule in found.rules.own
    ]
    return (ours, f"**Your instructor has laid {found.rules.name} over them.** These rows count in the figures, the grid and your plan:", *lines)


def grid_note(preferences: Preferences) -> tuple[str, ...]:
    """What a cell of the grid is, and its margin."""
    margin, longer = preferences.number(100 * law("margin"), 0), preferences.number(law("mild_minutes"), 0)
    return (
        f"A cell holds the mildest thing that takes the soil off and uses at most {margin} % of any limit of the part; where "
        f"the mildest would take more than {longer} min longer than the shortest, the shorter stands there. "
        "**Ask** means that no rule here covers it: ask the maker. **Find out** means that the part cannot make this "
        "soil: find where it came from, or it will be back.",
        "Mild to harsh is our order: water; detergent, brush and wood; cold alcohol; alkali, acid and a brass pick; the rest.",
    )


def warm_note(preferences: Preferences) -> tuple[str, ...]:
    """What heat does to soil and to harm."""
    soil, harm = (preferences.number(law(name)) for name in ("removal_q10", "harm_q10"))
    course = bath_course("chromed body", "scale", Step("mild acid"))
    moved = bath_course("chromed body", "scale", Step("ultrasonic acid"))
    clean, harmed, faster = (preferences.number(one, 1) for one in (course.clean_at, course.harmed_at, moved.clean_at))
    return (
        f"In the figure the acid at rest would need {clean} min for the scale, and the chrome allows {harmed} min. So this "
        f"bath cannot do it. With ultrasound the scale goes in {faster} min, and there is time left.",
        f"Heat does not help here. Ten degrees more make a bath {soil} times as fast on soil, and {harm} times as fast on the part.",
    )


def times_note(preferences: Preferences) -> tuple[str, ...]:
    """Two habits of ultrasonic minutes, and why they differ."""
    *habits, why = ultrasonic_times()
    return ("How long do parts lie in the ultrasonic bath? You will meet several answers:", *(f"- {preferences.localise(one)}" for one in habits), why)


def scratch_note(preferences: Preferences) -> tuple[str, ...]:
    """When a tool marks a surface."""
    safe, certain = (preferences.number(law(name), 1) for name in ("scratch_safe", "scratch_certain"))
    return (
        f"Divide the hardness of the tool by that of the surface. Below {safe} the tool gives way. Above {certain} the "
        "surface does. Between them nobody can be sure, and for a land that is not good enough.",
        f"That a tool scratches from {certain} on is published. That above it a mark is sure, we say to be careful.",
        "Thin chrome is hard, but it gives way with the brass under it. So under thin plating the brass counts.",
    )


def cautions_note(preferences: Preferences) -> tuple[str, ...]:
    """The usual cautions of the bath."""
    said = [f"- {preferences.localise(row['sentence'])}" for row in rows_of("cautions")]
    never = [f"- Never {row['one']} with {row['other']}: {row['gives']}." for row in rows_of("never_together")]
    return ("Baths burn and give off gas. Read the label and its safety sheet first.", *said, *never)


def worked_note(preferences: Preferences) -> tuple[str, ...]:
    """What the worked plan leaves and uses."""
    found = worked_verdict()
    most = max(found.used, key=lambda one: one.share)
    left = max(found.soil_left, key=lambda one: one.percent / one.limit_percent if one.limit_percent else 0.0)
    share = preferences.number(100 * most.share, 0)
    return (
        f"Judged by the rules: **{found.outcome}**. The plan takes {preferences.number(found.minutes, 0)} min. "
        f"The soil nearest to its limit is the {left.soil}: {preferences.localise(left.words)}. "
        f"The part nearest to harm is the {most.part}: {share} % of its limit is used. Acid has no second try here.",
        "The ring, the seat and the filter are not cleaned. They are replaced, whatever is on them. Many a bench puts the "
        "filter into the bath and looks through it. Its pores keep what nobody sees.",
    )


def dry_note() -> tuple[str, ...]:
    """Drying, looking, testing."""
    return (
        "- **Dry** at once, with oil-free gas. The air for tools carries oil; it would put back what the bath took. A part "
        "that dries by itself keeps rings.",
        "- **Look** under magnification, in a strong light from the side: soil, marks on the land, chrome that lifts, brass that has turned pink.",
        "- **Shake** a part in clean water. Bubbles that stay say that cleaner is still on it.",
        "- **Test** afterwards as lesson 04 does: lock-up, rise, and what the needle does. A clean stage is not a stage that holds.",
    )


def oxygen_note(preferences: Preferences) -> tuple[str, ...]:
    """The refusal first, then what makes oxygen service another trade."""
    said = ", ".join(f"{preferences.number(percent)} % ({who})" for who, percent in ENRICHED)
    refusal, *then = oxygen_service()
    return (
        f"**{refusal}**", *then,
        "In oxygen, things burn that do not burn in air. Oil, grease, a fibre or a grain that strikes metal is enough. So that trade "
        "has cleaners of its own that leave no fuel, rooms of its own, and limits that are weighed or counted, not looked at.",
        f"When does a gas count as enriched? The rules differ: above {said}. Some workshops draw the line at {CUSTOM} %. "
        "The maker's manual and your local rules decide, so ask for the gas before you clean.",
    )  # fmt: skip


def summary_note(preferences: Preferences) -> tuple[str, ...]:
    """The numbers to keep."""
    soil, harm, safe, certain = (
        preferences.number(law(name), 1) for name in ("removal_q10", "harm_q10", "scratch_safe", "scratch_certain")
    )
    return (
        f"- Ten degrees more: soil goes {soil} times as fast, harm {harm} times.",
        f"- Tool against surface: below {safe} no mark, above {certain} a mark, between them perhaps.",
    )


def notes(preferences: Preferences, _sheets: SheetLoader) -> Makers[tuple[str, ...]]:
    """Sentences of lesson 05, by name."""
    made = {
        "own_rules": own_rules_note, "grid": grid_note, "warm": warm_note, "times": times_note, "scratch": scratch_note,
        "cautions": cautions_note, "worked": worked_note, "oxygen": oxygen_note, "summary": summary_note,
    }  # fmt: skip
    return {**{name: partial(make, preferences) for name, make in made.items()}, "dry": dry_note}
