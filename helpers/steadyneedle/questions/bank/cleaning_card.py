"""Lesson 05: what is on it and on what, and what a plan lacks, each as minutes. Every card in here is invented."""

from __future__ import annotations

from typing import Any

from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.exercise import Givens, Mistake, Named, QuantityExercise

FINISHES = {
    "chromed": ("It is silver and heavy. At a worn edge it is yellow.", "It shines like silver, is heavy, and shows yellow in a scratch."),
    "brass": ("It is heavy and yellow all over.", "It is heavy, and as yellow inside a bore as outside."),
    "steel": ("It is silver and heavy. At a worn edge it is as silver as elsewhere.", "It shines like silver, is heavy, and is silver in a scratch too."),
}
"""Metal and finish -> how it looks; key of a column of the card."""

SEEN = {
    "salt": ("White crystals stand in its threads. In a drop of warm fresh water they are gone.", "A white bloom is on it. Fresh water takes it off."),
    "scale": ("A hard white crust sits in its ports. A night in fresh water changed nothing; a drop of mild acid makes it fizz.", "A chalky crust is on it. Water runs off it and leaves it as hard as it was."),
    "oil": ("A thin brown film is on it. It smells of the compressor.", "A yellow film is on it. It smells of machine oil."),
    "grease": ("A clear, slippery film is in its groove. It smells of nothing, and water pearls off it.", "A clear jelly without any smell sits in its groove."),
}
"""Soil -> how it looks, smells, and what water does to it. Common practice, no source."""

BY_METAL = ("scale", "oil")
"""Soils whose minutes hang on the metal; for the others the card has one number."""

CONFUSED = {"salt": "scale", "scale": "salt", "oil": "grease", "grease": "oil"}
TAKEN_FOR = {"chromed": "steel", "steel": "chromed", "brass": "chromed"}

CLUES = {"salt": "What did water do to it?", "scale": "What did water do to it?", "oil": "Does it smell, and where does it sit?", "grease": "Does it smell, and where does it sit?"}


def _draw_tank(d: Draws) -> Givens:
    first = d.one_of(BY_METAL)
    second = d.one_of(tuple(one for one in CONFUSED if one != first))
    minutes = {
        "scale_chromed": d.integer(2, 4), "scale_brass": d.integer(5, 8), "scale_steel": d.integer(10, 15), "oil_chromed": d.integer(4, 6), "oil_brass": d.integer(7, 9), "oil_steel": d.integer(12, 18),
        "salt": d.integer(14, 25), "grease": d.integer(11, 19),
    }
    signs = {"sign_1": str(d.integer(0, 1)), "sign_2": str(d.integer(0, 1)), "look_1": str(d.integer(0, 1)), "look_2": str(d.integer(0, 1))}
    return {"soil_1": first, "soil_2": second, "metal_1": d.one_of(tuple(FINISHES)), "metal_2": d.one_of(tuple(FINISHES)), **minutes, **signs}


def _on_card(w: Named, soil: str, metal: str) -> int:
    """Minutes that the card gives."""
    return int(w[f"{soil}_{metal}" if soil in BY_METAL else soil])


def _tank(w: Named) -> dict[str, Any]:
    one, two = _on_card(w, w.soil_1, w.metal_1), _on_card(w, w.soil_2, w.metal_2)
    seen = {f"seen_{n}": f"{FINISHES[w[f'metal_{n}']][int(w[f'look_{n}'])]} {SEEN[w[f'soil_{n}']][int(w[f'sign_{n}'])]}" for n in (1, 2)}
    said = {f"said_{n}": f"{NAMED[w[f'soil_{n}']]} on {METALS[w[f'metal_{n}']]}" for n in (1, 2)}
    return {**seen, **said, "one": one, "two": two, "clue_1": CLUES[w.soil_1], "clue_2": CLUES[w.soil_2], "answer": float(one + two)}


NAMED = {"salt": "salt", "scale": "a crust", "oil": "hydrocarbon oil", "grease": "silicone grease"}
METALS = {"chromed": "chromed brass", "brass": "bare brass", "steel": "stainless steel"}


def _other_soil(w: Named, n: int) -> float:
    kept = w.two if n == 1 else w.one
    return float(kept + _on_card(w, CONFUSED[w[f"soil_{n}"]], w[f"metal_{n}"]))


def _other_metal(w: Named, n: int) -> float | None:
    kept = w.two if n == 1 else w.one
    return float(kept + _on_card(w, w[f"soil_{n}"], TAKEN_FOR[w[f"metal_{n}"]])) if w[f"soil_{n}"] in BY_METAL else None


TANK_MINUTES = QuantityExercise(
    name="tank_minutes", title="How long is the tank taken?", objectives=(1,),
    draw=_draw_tank,
    work=_tank,
    ask=(
        "The card of a shop (invented), minutes in the tank. Crust, in acid: chromed brass {scale_chromed}, bare brass {scale_brass}, stainless steel {scale_steel}. Oil, in degreaser: chromed brass {oil_chromed}, bare brass {oil_brass}, stainless steel {oil_steel}. Salt, in water: {salt}. Silicone grease, in detergent: {grease}.",
        "The first part. {seen_1}", "The second part. {seen_2}",
        "They go in one after the other. Between them you empty the tank, rinse it and fill it afresh; do not count that. For how many minutes does a part lie in the tank?",
    ),
    mistakes=(
        Mistake("another soil on the first", lambda w: _other_soil(w, 1), "You read the card for another soil on the first part. {clue_1}"),
        Mistake("another soil on the second", lambda w: _other_soil(w, 2), "You read the card for another soil on the second part. {clue_2}"),
        Mistake("another metal of the first", lambda w: _other_metal(w, 1), "You read the card for another metal of the first part. Which colour shows where it is worn or scratched, and which elsewhere?"),
        Mistake("another metal of the second", lambda w: _other_metal(w, 2), "You read the card for another metal of the second part. Which colour shows where it is worn or scratched, and which elsewhere?"),
        Mistake("both at once", lambda w: float(max(w.one, w.two)), "You counted one part. They go in one after the other, each in its own bath."),
    ),
    hints=("Say of each part: which soil, which metal, which finish. Then find its number.", "Water tells salt from a crust, smell tells oil from silicone grease, and a worn edge tells plated brass from steel."),
    working=("First part: {said_1}, {one} min. Second part: {said_2}, {two} min.", "Tank: {one} min + {two} min = {answer:.0f} min"),
    kind="time", unit="min", relative=0.0, absolute=0.01, why="the card has whole minutes.", figures=0, reading=False,
)


LINES = {
    "strip": "strip it", "soft": "take out the soft parts", "bath": "mild acid, {bath} min at 20 °C", "rinse": "rinse in fresh water", "neutral": "dip in weak bicarbonate", "again": "rinse in fresh water",
    "dry": "blow dry with oil-free gas", "look": "look at every part under a ten-times glass", "close": "fit new soft parts, lubricate as the manual says, put it together", "test": "watch lock-up and IP",
}
"""A plan for scale on stainless steel, in its order."""

GONE = (
    ("neutral", "again"), ("again", "look"), ("rinse", "dry"), ("soft", "again"), ("dry", "test"), ("look", "test"), ("rinse", "look"), ("dry", "look"),
    ("neutral", "again", "test"), ("neutral", "again", "look"), ("soft", "neutral", "again"),
)
"""What a plan may lack: keys of its lines."""

LACKS = {"soft": "soft parts out", "rinse": "a rinse", "neutral": "bicarbonate", "again": "a rinse", "dry": "drying", "look": "a look", "test": "the test"}


def _missing(w: Named) -> dict[str, Any]:
    gone = GONE[w.lacks % len(GONE)]
    minutes = {**{key: w[f"{key}_min"] for key in ("soft", "rinse", "neutral", "dry", "look", "test")}, "again": w.rinse_min}
    lines = [words.format(bath=w.bath) for key, words in LINES.items() if key not in gone]
    said = " + ".join(f"{minutes[key]} min" for key in gone)
    return {"plan": "; ".join(lines), "gone": gone, "named": ", ".join(LACKS[key] for key in gone), "said": said, "answer": float(sum(minutes[key] for key in gone))}


def _without(w: Named, *keys: str) -> float | None:
    """The answer of somebody who did not miss these steps; None where the plan has one of them."""
    if not set(keys) <= set(w.gone):
        return None
    return w.answer - sum(w["rinse_min" if key == "again" else f"{key}_min"] for key in keys)


MINUTES_MISSING = QuantityExercise(
    name="minutes_missing", title="What is missing, and for how long?", objectives=(4,),
    draw=lambda d: {
        "lacks": d.integer(0, len(GONE) * 10 - 1), "bath": d.integer(8, 12), "soft_min": d.integer(4, 7), "rinse_min": d.integer(2, 4), "neutral_min": d.integer(1, 3), "dry_min": d.integer(5, 9), "look_min": d.integer(10, 16), "test_min": d.integer(17, 28),
    },
    work=_missing,
    ask=(
        "On the bench lies a first stage of stainless steel with scale inside. Somebody writes: {plan}.",
        "In your shop it takes {soft_min} min to take the soft parts out, {rinse_min} min for each rinse, {neutral_min} min in bicarbonate, {dry_min} min to blow dry, {look_min} min to look at all parts, {test_min} min for the test.",
        "Put in what is missing. How many minutes does that add?",
    ),
    mistakes=(
        Mistake("bicarbonate and its rinse not missed", lambda w: _without(w, "neutral", "again"), "One thing is still missing: what follows acid, before anything is dried?"),
        Mistake("bicarbonate without a rinse after it", lambda w: _without(w, "again") if "neutral" in w.gone else None, "What they were dipped into stays on them. What comes after the bicarbonate?"),
        Mistake("the rinse after bicarbonate for enough", lambda w: w.answer - w.neutral_min if "neutral" in w.gone else None, "You put in a rinse. But water does not reach the acid in threads and pores."),
        Mistake("one rinse for two", lambda w: _without(w, "again") if "neutral" not in w.gone else None, "The plan has one rinse. Count the things that have to be washed off: acid, and bicarbonate."),
        Mistake("no rinse before bicarbonate", lambda w: _without(w, "rinse"), "The acid that clings to the parts would foam and use the bicarbonate up. What comes between?"),
        Mistake("dried by itself", lambda w: _without(w, "dry"), "One thing is still missing: how do the parts get dry?"),
        Mistake("closed unseen", lambda w: _without(w, "look"), "One thing is still missing: how does anybody know that the soil is gone and no land is marked?"),
        Mistake("closed without a test", lambda w: _without(w, "test"), "One thing is still missing: does anybody know how it holds?"),
        Mistake("soft parts in the bath", lambda w: _without(w, "soft"), "One thing is still missing: where are rings and seats while the metal lies in acid?"),
        Mistake("a rinse too many", lambda w: w.answer + w.rinse_min if not {"rinse", "again"} & set(w.gone) else None, "You put in a rinse. Both are there: one before the bicarbonate and one after it."),
    ),
    hints=("Lay the plan beside the whole order, line by line. More than one line is missing.", "The whole order: strip, soft parts, bath, rinse, bicarbonate after acid, rinse, dry, look, close, test."),
    working=("Missing: {named}.", "Longer by {said} = {answer:.0f} min"),
    kind="time", unit="min", relative=0.0, absolute=0.01, why="the shop counts whole minutes.", figures=0, reading=False,
)
