"""Lesson 05, second half: the order of a plan, what it lacks, and what may be said afterwards."""

from __future__ import annotations

from typing import Any

from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Mistake, Named

ORDER = ("soft", "bath", "rinse", "neutral", "again", "dry", "look", "close", "test")
"""After a bath of acid; after another bath two of them fall away."""

AFTER_ACID = ("neutral", "again")

BATHS = {"oil": ("ultrasonic detergent", 21), "grease": ("ultrasonic detergent", 16), "scale": ("mild acid", 8)}
"""What takes a soil off stainless steel, and the fewest minutes that do."""

DONE = {
    "soft": "taken out all soft parts and put the new ones ready", "bath": "left the hard parts in the bath ({bath})", "rinse": "rinsed them in fresh water",
    "neutral": "dipped them into weak bicarbonate", "again": "rinsed them again", "dry": "blown them dry with oil-free gas",
    "look": "looked at them under a {times}-times glass and found no soil and no mark", "close": "fitted the new soft parts, lubricated as the manual says, and put it together",
}

STEPS = {
    "soft": "take out all soft parts", "bath": "put the hard parts into the bath", "rinse": "rinse in fresh water", "neutral": "dip them into weak bicarbonate", "dry": "dry with oil-free gas",
    "look": "look at every part under magnification", "close": "fit new soft parts, lubricate, put it together", "test": "watch lock-up and IP once more",
}


def _next(w: Named) -> dict[str, Any]:
    from steadyneedle.bench.cleaning import Step

    soil = "scale" if w.at in AFTER_ACID else w.soil
    method, least = BATHS[soil]
    bath = Step(method, least + w.more)
    order = [one for one in ORDER if soil == "scale" or one not in AFTER_ACID]
    before = order[: order.index(w.at)]
    done = [DONE[one].format(bath=bath.words, times=w.times) for one in before]
    said = "stripped the first stage" + "".join(f", {one}" for one in done[:-1]) + (f", and {done[-1]}" if done else "")
    return {"inside": soil, "done": said, "acid": soil == "scale" and "bath" in before, "answer": "rinse" if w.at == "again" else w.at}


NEXT_STEP = ChoiceExercise(
    name="next_step", title="What comes next?", objectives=(4, 5), version=2,
    draw=lambda d: {"at": d.one_of(ORDER), "more": d.integer(0, 4), "times": d.one_of((10, 15, 20)), "soil": d.one_of(tuple(BATHS))},
    work=_next,
    ask=("A first stage of stainless steel came in with {inside} inside. Somebody has {done}.", "What comes next?"),
    choices=STEPS,
    mistakes=(
        Mistake("soft parts in the bath", lambda w: "bath" if w.answer == "soft" else None, "Rubber and seats would lie in the bath with the metal. What has to leave it first?"),
        Mistake("dried with the bath on it", lambda w: "dry" if w.answer == "rinse" else None, "What they lay in last would dry onto the metal."),
        Mistake("acid left in the threads", lambda w: "dry" if w.answer == "neutral" else None, "They have been in acid. What hides in threads and pores goes on working there. What stops it?"),
        Mistake("neutralised too soon", lambda w: "neutral" if w.acid and w.at == "rinse" else None, "The acid that clings to them would foam and use it up. What takes most of it away first?"),
        Mistake("neutralised without acid", lambda w: "neutral" if not w.acid else None, "Bicarbonate answers acid. Have these parts been in acid?"),
        Mistake("neutralised again", lambda w: "neutral", "That is done already, and once is enough. Read once more what has been done."),
        Mistake("a rinse for bicarbonate", lambda w: "rinse" if w.answer == "neutral" else None, "They are rinsed. But water does not reach all the acid that has crept into threads and pores."),
        Mistake("closed unseen", lambda w: "close" if w.answer == "look" else None, "Nobody has looked whether the soil is gone, or whether the land has a mark."),
        Mistake("looked at wet", lambda w: "look" if w.answer in ("dry", "rinse", "neutral") else None, "Water hides a film and a fine scratch. There is something to do before you look."),
        Mistake("closed without a test", lambda w: "close" if w.answer == "test" else None, "That is done. Does anybody know how it holds?"),
        Mistake("the test too early", lambda w: "test", "It is not together yet: there is nothing to pressurise."),
        Mistake("soft parts again", lambda w: "soft", "That is done already. Read once more what has been done."),
        Mistake("the bath again", lambda w: "bath", "It has been in the bath. Another turn is due only if something is found."),
        Mistake("the rinse out of turn", lambda w: "rinse", "A rinse follows a bath. Has it come out of one, and is it still unrinsed?"),
        Mistake("drying out of turn", lambda w: "dry", "Drying follows the last rinse, and once is enough. Read once more what has been done."),
        Mistake("looking out of turn", lambda w: "look", "Looking tells something once the parts are clean and dry, and before they are put together."),
        Mistake("closing out of turn", lambda w: "close", "Before it is closed, the parts must be clean, dry and looked at."),
    ),
    hints=("Say the whole order aloud: strip, soft parts, bath, rinse, after acid bicarbonate and a second rinse, dry, look, close, test.", "Which bath was it? And where in this order does the story end?"),
    working=("The order: strip; soft parts out; bath; rinse; after acid neutralise and rinse again; dry; look; close with new soft parts; test.", "So the next is: {right}."),
)


def _plan(w: Named) -> dict[str, Any]:
    from steadyneedle.bench.cleaning import Step

    rinse = f"rinse in fresh water, {w.rinse} min"
    lines = {
        "strip": "strip it", "soft": "take out the soft parts", "first": Step("alkaline degreaser", w.first, w.warm).words, "rinse": rinse, "second": Step("mild acid", w.second).words, "after": rinse,
        "neutral": f"dip in weak bicarbonate, 2 min; {rinse}", "gas": "blow dry with oil-free gas", "look": "look at every part under a ten-times glass",
        "close": "fit new soft parts, lubricate as the manual says, put it together", "test": "watch lock-up and IP for ten minutes",
    }
    if w.wrong == "soft":
        lines |= {"soft": "leave the soft parts in, to be cleaned too", "close": "lubricate as the manual says, put it together"}
    lines |= {"rinse": {"rinse": "let it drip off"}, "gas": {"gas": "blow dry at the workshop's compressor, the one for the air tools"}, "test": {"test": "write the invoice"}}.get(w.wrong, {})
    if w.wrong in ("neutral", "look"):
        del lines[w.wrong]
    return {"plan": "; ".join(lines.values()), "answer": w.wrong}


WHAT_IS_WRONG = ChoiceExercise(
    name="what_is_wrong", title="What is wrong with this plan?", objectives=(4, 3), version=2,
    draw=lambda d: {
        "wrong": d.one_of(("soft", "rinse", "neutral", "gas", "look", "test", "nothing")), "first": d.integer(16, 25), "second": d.integer(8, 12), "rinse": d.integer(3, 6), "warm": d.one_of((60, 62, 65)),
    },
    work=_plan,
    ask=("A first stage with pistons and body of stainless steel has oil and scale inside. Somebody writes: {plan}.", "What is wrong with it, if anything?"),
    choices={
        "soft": "soft parts go into the bath", "rinse": "two baths meet that must not", "neutral": "nothing follows that answers the acid", "gas": "the drying gas brings oil back",
        "look": "nobody looks before it is closed", "test": "nobody tests it afterwards", "nothing": "nothing: no step is missing",
    },
    mistakes=(
        Mistake("soft parts in a long bath", lambda w: "nothing" if w.wrong == "soft" else None, "Rubber and seats lie in the degreaser with the steel. Read the second step again."),
        Mistake("no rinse between", lambda w: "nothing" if w.wrong == "rinse" else None, "What drips off is not rinsed off. The rest of the degreaser meets the acid."),
        Mistake("acid only rinsed", lambda w: "nothing" if w.wrong == "neutral" else None, "A rinse leaves acid in threads and pores, and there it goes on working. Look at what follows the acid."),
        Mistake("drying with gas that carries oil", lambda w: "nothing" if w.wrong == "gas" else None, "The air for tools carries the compressor's oil, and often oil that was added for the tools."),
        Mistake("clean unseen", lambda w: "nothing" if w.wrong == "look" else None, "How does anybody know that soil is gone and no land is marked? Look for that step."),
        Mistake("the retest forgotten", lambda w: "nothing" if w.wrong == "test" else None, "A clean regulator may lock up elsewhere than before. Read the last step again."),
        Mistake("soft parts are out", lambda w: "soft", "They are taken out in the second step and new ones come in at the end."),
        Mistake("rinsed between", lambda w: "rinse", "Between the two baths stands a rinse of {rinse} min."),
        Mistake("it is neutralised", lambda w: "neutral", "After the acid comes a rinse, then weak bicarbonate, then another rinse."),
        Mistake("the gas is oil-free", lambda w: "gas", "It is dried with oil-free gas."),
        Mistake("somebody looks", lambda w: "look", "Every part is looked at before it is put together."),
        Mistake("it is tested", lambda w: "test", "Lock-up and IP are watched at the end."),
    ),
    hints=("Go through it step by step: what goes in, what comes between, what follows the acid, what it is dried with, who looks, who tests.", "Compare it with: strip, soft parts out, bath, rinse, dry, look, close, test. A second bath wants a rinse before it, and acid wants bicarbonate and a rinse after it."),
    working=("The plan: {plan}.", "The answer: {right}."),
)


FOUND = {
    "go": ("Under a {times}-times glass the land is even and bright, and a white cloth comes away white.", "Shaken in clean water, the part makes no bubbles. Under a {times}-times glass nothing is left on it and no line crosses the land.",
           "Under a {times}-times glass all threads are empty, and the chrome is whole to its edges."),
    "again": ("Under a {times}-times glass a rim of scale is left in the threads. The chrome is whole, and {used} % of what the acid may take is used.", "A cloth still comes away brown from one port. The metal is sound, and {used} % of the bath's time is used.",
              "Under a {times}-times glass there are flat rings where drops of hard water dried, and a wet cloth leaves them as they are. The chrome is whole, and {used} % of the acid's time is used."),
    "rinse": ("Shaken in clean water, the part makes bubbles that stay. Under a {times}-times glass no soil is seen.", "As it dried, a white bloom came up around one port. A drop of fresh water takes it. Under a {times}-times glass nothing else is seen.",
              "Under a {times}-times glass no soil and no mark is seen, but the dry part feels soapy."),
    "stop": ("Under a {times}-times glass a line crosses the land, and a fingernail catches on it.", "Under a {times}-times glass the brass has turned pink in places: zinc has gone out of it.", "The chrome has lifted at an edge, and under a {times}-times glass green shows under it."),
}

VERIFY = ChoiceExercise(
    name="verify", title="Cleaned, and now?", objectives=(5, 4), version=2,
    draw=lambda d: {"way": d.one_of(tuple(FOUND)), "sign": d.integer(0, 2), "times": d.one_of((10, 15, 20)), "used": d.integer(4, 8) * 5},
    work=lambda w: {"found": FOUND[w.way][w.sign].format(times=w.times, used=w.used), "answer": w.way},
    ask=("A body has been cleaned, rinsed and dried. {found}", "What do you do?"),
    choices={"go": "go on: new soft parts, then the test", "again": "clean once more, with the time that is left", "rinse": "rinse once more and dry at once", "stop": "stop: replace it, or ask the maker"},
    mistakes=(
        Mistake("soil overlooked", lambda w: "go" if w.way == "again" else None, "Some of the soil is still there."),
        Mistake("residue overlooked", lambda w: "go" if w.way == "rinse" else None, "The metal is sound, but something is on it that water would take."),
        Mistake("harm overlooked", lambda w: "go" if w.way == "stop" else None, "It is clean, but it is no longer the part it was."),
        Mistake("cleaned to death", lambda w: "again" if w.way == "stop" else None, "No bath mends metal. Another one only takes more of it."),
        Mistake("a bath for a rinse", lambda w: "again" if w.way == "rinse" else None, "Each bath takes metal. Something milder takes what is left here."),
        Mistake("no end", lambda w: "again" if w.way == "go" else None, "Nothing is left to clean. Each further bath only takes metal."),
        Mistake("given up too early", lambda w: "stop" if w.way in ("again", "rinse") else None, "The metal is sound. What is left comes off."),
        Mistake("a rinse for a bath", lambda w: "rinse" if w.way == "again" else None, "Water has left this soil before. It needs what took the rest."),
        Mistake("sound part condemned", lambda w: "stop", "Nothing is left on it and no mark is on it. Why should it go?"),
        Mistake("rinsed without need", lambda w: "rinse", "Is there anything that water would take off?"),
    ),
    hints=("Three questions: is soil left, is something from the bath left, is the part itself harmed?", "A crust, oil or a stain wants the bath again, if its time is not used up. What fresh water takes wants fresh water. Harm wants neither."),
    working=("{found}", "So {right}."),
)


LOOKS = ("Under a {times}-times glass it is spotless.", "Under ultraviolet light nothing on it glows.", "A white cloth comes away white, and under a {times}-times glass nothing is left.")

GASES = {
    "air": "The customer will use it with air.", "enriched": "The customer will use it with a mix of {percent} % oxygen.", "unknown": "Nobody has asked yet which gas the customer will use.",
}

OXYGEN_SERVICE = ChoiceExercise(
    name="oxygen_service", title="It looks clean. For which gas?", objectives=(5, 3),
    draw=lambda d: {"gas": d.one_of(("air", "enriched", "enriched", "unknown")), "percent": d.one_of((28, 30, 32, 34, 36, 38, 40, 50, 60, 80, 100)), "look": d.integer(0, 2), "times": d.one_of((10, 15, 20))},
    work=lambda w: {"seen": LOOKS[w.look].format(times=w.times), "filled": GASES[w.gas].format(percent=w.percent), "answer": {"air": "air", "enriched": "trade", "unknown": "ask"}[w.gas]},
    ask=("You have cleaned a first stage by its manual. {seen} {filled}", "What do you write on the card?"),
    choices={"air": "Cleaned for air by the manual. No more than that is said.", "trade": "Not ours: to people trained and equipped for oxygen service.", "ask": "On hold until the gas is known."},
    mistakes=(
        Mistake("oxygen-clean because it looks clean", lambda w: "air" if w.answer == "trade" and (w.percent > 40 or w.look == 1) else None, "It looks clean. But no eye sees a film of oil that burns in oxygen, and the gas here is not air."),
        Mistake("forty percent", lambda w: "air" if w.answer == "trade" else None, "Some workshops draw the line at 40 %. US law calls air above 23.5 % oxygen enriched, other rules say 21 to 25 %; the maker's manual decides, and it is not for us to guess."),
        Mistake("the gas taken for air", lambda w: "air", "Perhaps it is air. Nobody has asked, and the answer changes who may do this work."),
        Mistake("air sent away", lambda w: "trade" if w.answer == "air" else None, "It is for air, and it was cleaned for air. Nothing else has to happen, as long as nobody calls it more."),
        Mistake("sent away unasked", lambda w: "trade", "It may well be for air. One question settles it: ask it first."),
        Mistake("the gas is known", lambda w: "ask", "The customer has said which gas. What follows from it?"),
    ),
    hints=("Which gas is it for? Is that known?", "Above about 21 to 25 % oxygen, by whichever rule, cleaning is another trade with its own cleaners, its own proof and its own people."),
    working=("{filled} Looking clean proves nothing about oxygen.", "The card says: {right}"),
)
