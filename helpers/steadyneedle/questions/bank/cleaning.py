"""Lesson 05: which soil, which part, which bath, and what never."""

from __future__ import annotations

from typing import Any

from steadyneedle.foundation.draws import Draws
from steadyneedle.questions.bank.cleaning_card import MINUTES_MISSING, TANK_MINUTES
from steadyneedle.questions.bank.cleaning_plans import NEXT_STEP, OXYGEN_SERVICE, VERIFY, WHAT_IS_WRONG
from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Givens, Mistake, Named, QuantityExercise
from steadyneedle.questions.plans import GRID, READ_ON, Asked, Plan, Prediction

SIGNS = {
    "salt": (
        "White crystals stand in the threads. In a drop of warm fresh water they are gone within a minute.",
        "A white bloom has come through as the part dried after a week by the sea. Fresh water takes it off.",
        "A grainy white ring sits around a port. Where a wet cloth lay on it, the metal is bare.",
    ),
    "scale": (
        "A hard white and green crust sits at the waterline. A night in fresh water changed nothing; a drop of mild acid makes it fizz.",
        "A chalky crust has grown in the ports. Water runs off it and leaves it as hard as it was.",
        "A blue-green crust, hard under the fingernail, covers the bare brass. Water leaves it as it is.",
    ),
    "rust": (
        "Red-brown powder lies on a brass body, beside the place where a steel clip was screwed on.",
        "A spring is red-brown and rough, and a magnet holds the flakes that come off.",
        "The first filter has caught a red-brown dust. A magnet picks it up.",
    ),
    "grease": (
        "A clear, slippery film is left in the groove where the last technician lubricated an O-ring. Water pearls off it.",
        "A clear jelly without any smell sits behind the old O-ring.",
        "A clear film pearls water around the piston's O-ring. It smells of nothing, and it was there on the day after the last service.",
    ),
    "oil": (
        "A thin brown film lies in the inlet, behind the filter. It smells of the compressor.",
        "A yellow film has crept in from the cylinder valve. It smells of machine oil.",
        "The dried film in the high-pressure ports smells of engine oil and marks a white cloth brown.",
    ),
    "rubber": (
        "A black line sticks in the groove where an O-ring lay hot for a summer. It pulls threads when touched.",
        "Black crumbs are baked onto the housing, just as wide as the old O-ring was.",
        "The diaphragm's rim stayed behind, soft and black, when the diaphragm was lifted out.",
    ),
    "lifting": (
        "The chrome stands up in a blister, and a green edge shows under it.",
        "Flakes of chrome come off under a fingernail. The brass below is pitted.",
        "Around a scratch the chrome is raised, and green powder comes out from under it.",
    ),
    "stains": (
        "The part was rinsed with tap water yesterday and left to dry. Today it has flat, dull rings where the drops were.",
        "After the bath all was bright. Where drops of hard water dried, faint rings are left, too flat for a fingernail.",
        "Faint rings lie on a part that was spotless when it came out of the rinse. Nobody blew it dry.",
    ),
}

SOILS = {
    "salt": "salt", "scale": "scale or verdigris", "rust": "rust", "grease": "silicone grease", "oil": "hydrocarbon oil",
    "rubber": "perished rubber", "lifting": "corrosion under lifted plating", "stains": "drying stains",
}

WHICH_SOIL = ChoiceExercise(
    name="which_soil", title="Which soil is it?", objectives=(1,),
    draw=lambda d: {"soil": d.one_of(tuple(SIGNS)), "sign": d.one_of(("0", "1", "2"))},
    work=lambda w: {"seen": SIGNS[w.soil][int(w.sign)], "answer": w.soil},
    ask=("{seen}", "What is it, most likely?"),
    choices=SOILS,
    mistakes=(
        Mistake("salt and scale mixed up", lambda w: "salt" if w.soil == "scale" else None, "Salt goes in fresh water. This crust does not."),
        Mistake("scale and salt mixed up", lambda w: "scale" if w.soil == "salt" else None, "Fresh water takes this off. Nothing stronger is needed, and scale would have stayed."),
        Mistake("oil taken for grease", lambda w: "grease" if w.soil == "oil" else None, "Silicone grease has neither colour nor smell. This film has both."),
        Mistake("grease taken for oil", lambda w: "oil" if w.soil == "grease" else None, "Oil smells, and it comes in with the gas. This film has no smell and sits where an O-ring is."),
        Mistake("stains taken for scale", lambda w: "scale" if w.soil == "stains" else None, "Scale grows for weeks and can be felt. These rings came in one night, after the rinse."),
        Mistake("plating overlooked", lambda w: "scale" if w.soil == "lifting" else None, "The green comes out from under the chrome. What happened to the chrome first?"),
        Mistake("no salt", lambda w: "salt", "Salt is white, and fresh water takes it off. Nothing of that is described."),
        Mistake("no scale", lambda w: "scale", "Scale is a hard white or green crust. Nothing of that is described."),
        Mistake("no iron", lambda w: "rust", "Rust is red-brown powder or flakes from iron, and dry. Nothing of that is described."),
        Mistake("no grease", lambda w: "grease", "Silicone grease is clear and slippery, and sits where somebody lubricated. Nothing of that is described."),
        Mistake("no oil", lambda w: "oil", "Oil makes a film that smells of oil. Nothing of that is described."),
        Mistake("no rubber", lambda w: "rubber", "Perished rubber is black, and sits where a rubber part was. Nothing of that is described."),
        Mistake("no lifted plating", lambda w: "lifting", "Lifted plating stands up in blisters or flakes. Nothing of that is described."),
        Mistake("no drops", lambda w: "stains", "Drying stains are flat rings, and they come after a rinse. Nothing of that is described."),
    ),
    hints=("Look at colour, smell and place, then at what water does to it.", "Does it lie on the metal, or does it come from under something? And what was on this spot before?"),
    working=("What is seen: {seen}", "The answer: {right}."),
)


DENSITIES = {"aluminium": 2.7, "titanium": 4.5, "stainless": 7.9, "brass": 8.5}
"""g/mL, of usual alloys; from memory."""

WORN = {"brass": "The worn edge shows yellow.", "aluminium": "The worn edge is as grey as the rest.", "titanium": "The worn edge is as grey as the rest.", "stainless": "The worn edge is as grey as the rest."}

PART_AND_FINISH = ChoiceExercise(
    name="part_and_finish", title="Which metal, which finish?", objectives=(1, 3),
    draw=lambda d: {"metal": d.one_of(tuple(DENSITIES)), "volume": d.decimal("6.0", "18.0", "0.5"), "stray": d.decimal("-0.1", "0.1", "0.1")},
    work=lambda w: {"mass": round(w.volume * (DENSITIES[w.metal] + w.stray)), "worn": WORN[w.metal], "density": round(w.volume * (DENSITIES[w.metal] + w.stray)) / w.volume, "answer": w.metal},
    ask=("A smooth silver part weighs {mass} g. In a measuring glass it lifts the water by {volume:.1f} mL. {worn}", "What is it made of?"),
    choices={"aluminium": "aluminium, anodised", "titanium": "titanium", "stainless": "stainless steel", "brass": "brass, chrome-plated"},
    mistakes=(
        Mistake("titanium taken for aluminium", lambda w: "aluminium" if w.metal == "titanium" else None, "It is too heavy for aluminium, which weighs 2.7 g for each mL. Divide the grams by the mL."),
        Mistake("aluminium taken for titanium", lambda w: "titanium" if w.metal == "aluminium" else None, "It is too light for titanium, which weighs 4.5 g for each mL. Divide the grams by the mL."),
        Mistake("plating taken for solid steel", lambda w: "stainless" if w.metal == "brass" else None, "Stainless steel is silver all through. Here another colour shows where the edge is worn."),
        Mistake("steel taken for plated brass", lambda w: "brass" if w.metal == "stainless" else None, "Under worn chrome the brass shows yellow. This edge does not."),
        Mistake("too light", lambda w: "aluminium", "Aluminium weighs 2.7 g for each mL. Divide the grams by the mL: this part is far heavier."),
        Mistake("not titanium", lambda w: "titanium", "Titanium weighs 4.5 g for each mL. Divide the grams by the mL: this part is far heavier."),
        Mistake("not steel", lambda w: "stainless", "Steel weighs nearly 8 g for each mL. Divide the grams by the mL: this part is far lighter."),
        Mistake("not brass", lambda w: "brass", "Brass weighs more than 8 g for each mL. Divide the grams by the mL: this part is far lighter."),
    ),
    hints=("How many grams does one mL of it weigh? And which colour is under its surface?", "One mL of the lightest of the four weighs 2.7 g, of the next 4.5 g, of the two heavy ones about 8 g."),
    working=("{mass} g ÷ {volume:.1f} mL = {density:.1f} g/mL. {worn}", "The answer: {right}."),
    boundaries=lambda w: ((w.density, 3.6, 0.1), (w.density, 6.2, 0.1)),
)


CASES = {
    "water": (("dry salt", "a chrome-plated brass body"), ("dry salt", "a stainless piston"), ("dry salt", "an anodised aluminium cap"), ("dry salt", "a titanium body")),
    "detergent": (("fresh silicone grease", "a stainless piston"), ("fresh hydrocarbon oil", "an anodised aluminium cap"), ("fresh hydrocarbon oil", "a chrome-plated brass body"), ("fresh silicone grease", "a titanium body")),
    "alkaline": (("hydrocarbon oil that two baths of detergent have left", "a stainless piston"), ("hydrocarbon oil that two baths of detergent have left", "a stainless spring"), ("hydrocarbon oil that two baths of detergent have left", "a stainless valve stem")),
    "acid": (("scale that a night in water has left", "a chrome-plated brass body"), ("verdigris that a night in water has left", "a land of bare brass"), ("scale that a night in water has left", "a stainless piston")),
    "replace": (("scale", "a sintered inlet filter"), ("salt and scale", "a high-pressure seat"), ("rust", "a steel spring, pitted"), ("perished rubber at its edge", "an NBR O-ring"), ("scale", "a diaphragm")),
}
"""What is chosen first -> (soil, part) for which the lesson's rules choose it."""


def _case(w: Named) -> dict[str, Any]:
    soil, part = CASES[w.way][int(w.pick) % len(CASES[w.way])]
    return {"soil": soil, "part": part, "aluminium": "aluminium" in part, "answer": w.way}


WHICH_BATH = ChoiceExercise(
    name="which_bath", title="Which bath first?", objectives=(2, 1, 3), version=2,
    draw=lambda d: {"way": d.one_of(tuple(CASES)), "pick": str(d.integer(0, 59))},
    work=_case,
    ask=("On the bench lies {part}, taken out of its stage. On it: {soil}.", "What is the mildest choice that deals with it?"),
    choices={"water": "a soak in fresh water", "detergent": "a warm bath of neutral detergent", "alkaline": "an alkaline degreaser", "acid": "a few minutes of mild acid in the ultrasonic bath", "replace": "a new part"},
    mistakes=(
        Mistake("acid on aluminium", lambda w: "acid" if w.aluminium else None, "Mild acid dissolves aluminium, and the thin layer on it first. It never goes in, whatever the soil."),
        Mistake("alkaline degreaser on aluminium", lambda w: "alkaline" if w.aluminium else None, "An alkaline degreaser dissolves aluminium and its anodised layer. It never goes in."),
        Mistake("soft or fine part in a bath", lambda w: "detergent" if w.way == "replace" else None, "Would you trust it afterwards? Soft parts, filters and pitted springs are not washed for another turn."),
        Mistake("acid on a part of the kit", lambda w: "acid" if w.way == "replace" else None, "Acid may take the soil, but what is left of this part? Think of what a service kit holds."),
        Mistake("degreaser on a part of the kit", lambda w: "alkaline" if w.way == "replace" else None, "A degreaser takes no such soil, and this part is not washed for another turn."),
        Mistake("water on a part of the kit", lambda w: "water" if w.way == "replace" else None, "Water may take some of it. But this part is not washed for another turn."),
        Mistake("water for grease", lambda w: "water" if w.way == "detergent" else None, "Grease and oil pearl water off. Something must wet them first."),
        Mistake("stronger than needed", lambda w: "detergent" if w.way == "water" else None, "It would do no harm, but something milder takes salt too."),
        Mistake("acid against salt", lambda w: "acid" if w.way == "water" else None, "Acid eats metal in its minutes, too. Something far milder takes salt."),
        Mistake("degreaser against salt", lambda w: "alkaline" if w.way == "water" else None, "Salt is no grease. Something far milder takes it."),
        Mistake("the same once more", lambda w: "detergent" if w.way == "alkaline" else None, "Two such baths have left it. Steel stands something stronger."),
        Mistake("too strong", lambda w: "alkaline" if w.way == "detergent" else None, "That is for what the milder bath has left. Begin with the milder one."),
        Mistake("acid against oil", lambda w: "acid" if w.way in ("alkaline", "detergent") else None, "Acid dissolves crusts, not grease or oil."),
        Mistake("detergent against crust", lambda w: "detergent" if w.way == "acid" else None, "Detergent loosens grease and oil. A crust is neither."),
        Mistake("degreaser against crust", lambda w: "alkaline" if w.way == "acid" else None, "A degreaser loosens grease and oil. A crust is neither."),
        Mistake("water once more", lambda w: "water", "Water takes neither oil nor a crust; here it would change nothing."),
        Mistake("thrown away too early", lambda w: "replace", "The part is hard and sound, and this soil comes off it. Nobody pays for a new one."),
    ),
    hints=("Is it salt, a crust, or grease and oil? And is it a part that may be washed for another turn?", "Salt dissolves in water. Grease and oil need something that wets them. A crust needs something that dissolves it, if the metal stands that."),
    working=("{soil}, on {part}: each soil has the mildest thing that takes it, and each part has what it never meets.", "The answer: {right}."),
)


BATH_MIX = QuantityExercise(
    name="bath_mix", title="How much goes into the tank?", objectives=(2,),
    draw=lambda d: {"parts": d.one_of((4, 5, 8, 9, 10, 12, 14, 15, 19, 20)), "tank": d.decimal("1.2", "6.0", "0.2")},
    work=lambda w: {"all": w.parts + 1, "mL": round(1000 * w.tank), "answer": round(1000 * w.tank) / (w.parts + 1)},
    ask=("The label says: 1 part of cleaner to {parts} parts of water. Your tank holds {tank:.1f} L when it is full.", "How much cleaner goes in?"),
    mistakes=(
        Mistake("a part of the water", lambda w: w.mL / w.parts, "You divided the tank by the parts of water alone. The cleaner is a part too: count all the parts."),
        Mistake("the water", lambda w: w.mL * w.parts / w.all, "That is the water. The cleaner is the other share."),
        Mistake("parts as percent", lambda w: w.mL * w.parts / 100, "You took the parts as percent. One part goes in for so many parts of water."),
    ),
    hints=("How many parts are in the tank altogether?", "The tank holds {mL} mL. The cleaner is one part of it, and the water is all the others."),
    working=("Parts altogether: 1 + {parts} = {all}.", "Cleaner: {mL} mL ÷ {all} = {answer:.0f} mL"),
    kind="volume", unit="mL", relative=0.02, why="nobody measures a cleaner more closely.", figures=2, reading=False,
)


HALF_GONE = QuantityExercise(
    name="half_gone", title="How long in the bath?", objectives=(5, 2),
    draw=lambda d: {"half": d.decimal("2.0", "7.0", "0.5"), "times": d.integer(3, 5), "limit": d.integer(1, 4)},
    work=lambda w: {"start": w.limit * 2**w.times, "after": w.limit * 2 ** (w.times - 1), "late": w.limit * 2, "answer": w.half * w.times},
    ask=(
        "In this bath half of the scale that is still on the part goes every {half:.1f} min. At the start it is {start} mg; {limit} mg may stay.",
        "How long does the part stay in, at least?",
    ),
    mistakes=(
        Mistake("gone after twice the time", lambda w: 2 * w.half, "You took it that the second half goes like the first. In the same time half of what is left goes, not the other half."),
        Mistake("by the first speed", lambda w: 2 * w.half * (1 - 0.5**w.times), "The bath gets slower: the less is left, the less goes in a minute."),
        Mistake("once too few", lambda w: w.half * (w.times - 1), "Then {late} mg are left: twice too much. Halve once more."),
        Mistake("one halving", lambda w: w.half, "After that {after} mg are left. How often must you halve?"),
    ),
    hints=("Halve what is there again and again, until no more is left than may stay.", "Write down what is left after that time once, twice, three times. Count how often it takes."),
    working=("Halve {start} mg until {limit} mg are left: {times} times.", "Time: {times} × {half:.1f} min = {answer:.1f} min"),
    kind="time", unit="min", relative=0.0, absolute=0.01, why="it is a whole number of halvings.", figures=0, reading=False, limit="at least",
)


def _draw_warm(d: Draws) -> Givens:
    percent = d.one_of((2, 3, 4, 5))
    most = 80 // percent  # what brass may have at 40 °C by datasets/cleaning/limits.csv: 10 min at 60 °C, 2 %
    return {"card": d.integer(3, most // 4) * 4, "tens": d.integer(2, 4), "percent": percent}


WARM_BATH = QuantityExercise(
    name="warm_bath", title="A warmer bath", objectives=(3, 2), version=2,
    draw=_draw_warm,
    work=lambda w: {"warm": 40 + 10 * w.tens, "faster": 2**w.tens, "answer": w.card / 2**w.tens},
    ask=(
        "The card of a shop (invented) says: bare brass, alkaline degreaser of {percent} %, at most {card} min at 40 °C. Your bath stands at {warm} °C. For each 10 °C more it takes soil off 1.6 times as fast, and harms brass twice as fast.",
        "How long may the part stay in, at most?",
    ),
    mistakes=(
        Mistake("the card as it stands", lambda w: float(w.card), "That holds at 40 °C. In a warmer bath the brass comes to the same harm sooner."),
        Mistake("the soil's speed", lambda w: w.card / 1.6**w.tens, "You took the 1.6 of the soil. The limit guards the brass, and its harm goes twice as fast for each step."),
        Mistake("ten degrees only", lambda w: w.card / 2, "You counted one step of 10 °C. Count the steps from 40 °C to {warm} °C."),
        Mistake("steps added up", lambda w: w.card / (2 * w.tens) if w.tens > 2 else None, "You took twice the number of steps. Each step doubles once more: multiply the twos."),
        Mistake("longer, not shorter", lambda w: float(w.card * w.faster), "You multiplied. A bath that harms faster has done the same harm in less time: divide."),
    ),
    hints=("How many steps of ten degrees lie between the card and your bath? And which of the two speeds guards the brass?", "Each step halves the time once more."),
    working=("{tens} steps of 10 °C: the harm goes {faster} times as fast.", "{card} min ÷ {faster} = {answer} min"),
    kind="time", unit="min", relative=0.01, why="nobody lifts a part out to the second.", figures=2, reading=False, limit="at most",
)


DOES = {
    "cracks": (("ammonia cleaner", "a bare brass body"), ("ammonia cleaner", "a brass stem that is under load"), ("ammonia cleaner", "a chrome-plated brass body with worn edges"), ("ammonia cleaner", "a brass land")),
    "pits": (("bleach", "a stainless piston"), ("bleach", "a stainless spring"), ("bleach", "a stainless valve stem"), ("bleach", "a stainless screw")),
    "eaten": (("alkaline degreaser", "a bare aluminium cap"), ("alkaline degreaser", "an anodised aluminium cap"), ("mild acid", "a bare aluminium lever"), ("mild acid", "an anodised aluminium cap with a worn edge")),
    "swells": (("mineral oil", "an EPDM O-ring"), ("white spirit", "an EPDM O-ring"), ("petrol", "a silicone diaphragm"), ("white spirit", "a silicone diaphragm")),
    "nothing": (("neutral detergent", "a stainless piston"), ("neutral detergent", "a titanium body"), ("fresh water", "a chrome-plated brass body"), ("neutral detergent", "a chrome-plated brass body"), ("fresh water", "an anodised aluminium cap")),
}

WHAT_IT_DOES = ChoiceExercise(
    name="what_it_does", title="What does it do to the part?", objectives=(3, 1),
    draw=lambda d: {"way": d.one_of(tuple(DOES)), "pick": str(d.integer(0, 59))},
    work=lambda w: {"agent": DOES[w.way][int(w.pick) % len(DOES[w.way])][0], "part": DOES[w.way][int(w.pick) % len(DOES[w.way])][1], "answer": w.way},
    ask=("Somebody lays {part} into {agent}.", "What can happen to it?"),
    choices={"cracks": "it may crack later, under load", "pits": "it gets small deep pits", "eaten": "the metal dissolves", "swells": "it swells and softens", "nothing": "nothing, for the usual minutes"},
    mistakes=(
        Mistake("ammonia taken for harmless", lambda w: "nothing" if w.way == "cracks" else None, "It comes out bright. But ammonia makes brass crack where it is under stress, days later."),
        Mistake("bleach taken for harmless", lambda w: "nothing" if w.way == "pits" else None, "It comes out bright. But the chlorine in it breaks through what keeps stainless steel stainless, at single points."),
        Mistake("aluminium taken for steel", lambda w: "nothing" if w.way == "eaten" else None, "Steel might stand it. Aluminium does not, and an anodised layer goes first."),
        Mistake("rubber taken for rubber", lambda w: "nothing" if w.way == "swells" else None, "There are rubbers that stand it. This one takes it up."),
        Mistake("stress overlooked", lambda w: "eaten" if w.way == "cracks" else None, "It hardly loses weight. The danger is where the part is under stress."),
        Mistake("no such crack", lambda w: "cracks", "That is what ammonia does to brass. Here it is neither of the two together."),
        Mistake("no such pits", lambda w: "pits", "That is what bleach does to stainless steel. Here it is neither of the two together."),
        Mistake("dissolved", lambda w: "eaten", "That is what acids and alkalis do to aluminium. Here it is neither of the two together."),
        Mistake("metal does not swell", lambda w: "swells", "Rubber swells, and only in what it takes up. What is this part made of?"),
    ),
    hints=("Say what the part is made of, and what is in the bath. Then think of these two together.", "Brass fears ammonia, stainless steel fears chlorine, aluminium fears acid and alkali, some rubbers fear oil and petrol."),
    working=("{part} in {agent}.", "The answer: {right}."),
)


SAFE, CERTAIN = 0.8, 1.2  # as in datasets/cleaning/laws.csv
"""Hardness of tool against surface: below the first it does not mark (from memory), above the second we count on a mark (Pintaude 2010 has 1.2 as the least for a scratch)."""

PICKS = {
    "safe": (("a wooden pick", 4, 8, "a land of brass", 90, 130), ("a nylon pick", 8, 14, "a land of brass", 90, 130), ("a brass pick", 95, 120, "a stainless piston", 160, 200), ("a plastic pick", 12, 18, "a bare aluminium lever", 60, 95)),
    "may": (("a brass pick", 95, 130, "a land of brass", 95, 130), ("a brass pick", 95, 130, "a brass body under very thin chrome", 100, 130), ("a stainless pick", 170, 200, "a stainless piston", 165, 200)),
    "marks": (("a steel pick", 500, 650, "a land of brass", 90, 130), ("a brass pick", 120, 150, "a bare aluminium lever", 60, 90), ("a steel pick", 500, 650, "a stainless piston", 160, 200), ("a steel pick", 500, 650, "a brass body under very thin chrome", 100, 130)),
}


def _pick(w: Named) -> dict[str, Any]:
    tool, low, high, surface, soft, hard = PICKS[w.way][w.pick % len(PICKS[w.way])]
    hv, under = round(low + (high - low) * w.hard / 10), round(soft + (hard - soft) * w.soft / 10)
    ratio = hv / under
    thin = "chrome" in surface
    said = f"{surface}: the chrome has 900 HV and is far too thin to bear a point, the brass below it has {under} HV" if thin else f"{surface}, {under} HV"
    return {"tool": tool, "surface": surface, "said": said, "hv": hv, "under": under, "ratio": ratio, "thin": thin,
            "answer": "safe" if ratio < SAFE else "may" if ratio <= CERTAIN else "marks"}  # fmt: skip


PICK_AND_LAND = ChoiceExercise(
    name="pick_and_land", title="Does this pick mark it?", objectives=(3, 2),
    draw=lambda d: {"way": d.one_of(tuple(PICKS)), "pick": d.integer(0, 59), "hard": d.integer(0, 10), "soft": d.integer(0, 10)},
    work=_pick,
    ask=("The tool: {tool}, {hv} HV. It goes over {said}.", "Does it leave a mark?"),
    choices={"safe": "it leaves none", "may": "it may leave one", "marks": "it leaves one, sooner or later"},
    mistakes=(
        Mistake("the plating counts", lambda w: "safe" if w.thin else None, "You compared with the chrome. So thin a layer gives way with what lies under it: compare with the brass."),
        Mistake("brass is soft", lambda w: "safe" if w.answer == "may" else None, "A tool as hard as the surface is not soft to it. Between 0.8 and 1.2 times as hard it may mark."),
        Mistake("never harmless", lambda w: "may" if w.answer == "safe" else None, "It is less than 0.8 times as hard. It wears itself, not the part."),
        Mistake("harder, but perhaps", lambda w: "may", "It is more than 1.2 times as hard. To be careful we count on a mark there."),
        Mistake("harder means marks", lambda w: "marks" if w.answer == "may" else None, "Nobody can be sure of that: it lies between 0.8 and 1.2 times as hard."),
        Mistake("any pick scratches", lambda w: "marks", "Compare the two numbers: which one is the larger, and by how much?"),
        Mistake("harder overlooked", lambda w: "safe", "Divide the tool's HV by that of the surface. Above 1.2 the surface gives way."),
    ),
    hints=("Divide the hardness of the tool by that of the surface that bears it.", "Below 0.8 the tool gives way. Above 1.2 the surface does. Between them nobody can be sure."),
    working=("{hv} HV ÷ {under} HV = {ratio:.2f}. Below 0.8: no mark. Above 1.2: a mark. Between them: perhaps.", "So {right}."),
    boundaries=lambda w: ((w.ratio, SAFE, 0.01), (w.ratio, CERTAIN, 0.01)),
)


SURE_OF_BRASS = {
    ("none", "sure"): "You were sure. A tool of the same metal is as hard as the land.",
    ("none", "fairly"): "Many say so, because brass is called soft. It is as hard as the land.",
    ("marks", "sure"): "It can. But nobody can be sure of it either way.",
}


def _predictions() -> tuple[Asked, ...]:
    return (
        Prediction(
            "grid", "A cap of bare aluminium has oil on it. A strong alkaline degreaser stands ready. Does the cap go in?",
            {"yes": "yes, it takes the oil in a minute", "short": "yes, but only for a moment", "no": "no, never"},
            "Never. An alkaline degreaser dissolves aluminium itself, from the first moment on, and an anodised layer goes before the metal does. A warm bath of neutral detergent takes the oil and leaves the cap.",
            look=GRID,
        ),
        Prediction(
            "bath", "In a bath half of the scale has gone after some minutes. When is all of it gone?",
            {"twice": "after as many minutes again", "thrice": "after three times as many", "never": "never quite: each time half of the rest goes"},
            "Never quite. In the same time half of what is left goes, again and again, while the harm to the metal goes on at one speed. So there is a time to stop, and it is written down before the bath.",
        ),
        Prediction(
            "hardness", "Some soil sits on a sealing land of bare brass. You take a pick of brass. Does it mark the land?",
            {"none": "no, brass is soft", "may": "it may", "marks": "yes, surely"},
            "It may. The pick is as hard as what it scratches, and then nobody can be sure. Wood, nylon and plastic are far softer than brass, and a bath has no point at all.",
            how_sure=True, reply=lambda said, sure: SURE_OF_BRASS.get((said, sure), ""),
        ),
        Prediction(
            "fused", "Salt, scale, and rubber that has perished and fused to the housing. What happens to the rubber part itself?",
            {"bath": "it goes into the bath with the housing", "pick": "it is picked clean and used again", "new": "it is replaced; only its rest is cleaned off the housing"},
            "It is replaced. Rubber that has perished does not come back, and no bath mends it. What it leaves on the housing is a soil like any other, and the housing is the part that is cleaned.",
            look=READ_ON,
        ),
        Prediction(
            "oxygen", "You have cleaned a first stage well. Under magnification it is spotless. May you call it clean for oxygen?",
            {"yes": "yes, it is spotless", "light": "yes, if it is spotless under ultraviolet light too", "no": "no"},
            "No. A film far too thin to see burns in oxygen. Whether a part is clean enough is measured, with cleaners, rooms, limits and people of that trade. Nothing in this workbook makes a part clean for oxygen.",
            look=READ_ON,
        ),
    )


def plan() -> Plan:
    """Lesson 05."""
    return Plan(
        number="05", title="Cleaning choices", minutes="70 to 90",
        objectives=(
            "identify the soil, the part and its finish",
            "choose bath, strength, time, temperature and tool",
            "say what a part must never touch, and why",
            "put the steps of a cleaning plan in order and find the step that is missing",
            "verify what was done, and say where your work ends",
        ),
        exercises=(
            WHICH_SOIL, PART_AND_FINISH, TANK_MINUTES, WHICH_BATH, BATH_MIX, HALF_GONE, WARM_BATH, WHAT_IT_DOES, PICK_AND_LAND,
            NEXT_STEP, WHAT_IS_WRONG, MINUTES_MISSING, VERIFY, OXYGEN_SERVICE,
        ),
        predictions=_predictions(),
        warm_up=(("04", "how_long"), ("04", "which_stage"), ("03", "simple_verdict")),
    )
