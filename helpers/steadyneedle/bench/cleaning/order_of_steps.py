"""What a plan lacks, and what it does in the wrong order."""

from __future__ import annotations

from collections.abc import Sequence

from steadyneedle.bench.cleaning.catalogue import known_parts
from steadyneedle.bench.cleaning.one_part import OUT
from steadyneedle.bench.cleaning.soiled_parts import sitting
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.cleaning.walk import Walk

TAIL = ("inspect", "lubricate", "retest IP")
"""What comes after the last cleaning and drying, in this order."""

GAS = "dry with oil-free gas"

SAID = {
    "inspect": "inspect under magnification",
    "lubricate": "lubricate as the maker says",
    "retest IP": "retest IP",
    GAS: GAS,
}


def missing_steps(walk: Walk, steps: Sequence[Step]) -> tuple[str, ...]:
    """What is missing from a plan, or stands too early in it, one sentence part each.

    Parameters
    ----------
    walk : Walk
        The plan, walked through.
    steps : sequence of Step
        Its steps.

    Returns
    -------
    tuple of str
        Each begins with the step that is missing, in the order in which one would do them.

    References
    ----------
    Common practice, no source, for the order; soft goods apart: MIL-STD-1330D 5.2.5.

    Examples
    --------
    >>> from steadyneedle.bench.cleaning.harm_rules import Rules
    >>> missing_steps(Walk.of(["brass land"], [], Rules()), [Step("strip"), Step("inspect"), Step("lubricate")])
    ('retest IP',)
    """
    done = [step if step.done else None for step in steps]
    names = [step.method if step else "" for step in done]
    cleaning = [at for at, step in enumerate(steps) if step.kind.cleans and step.takes > 0]
    rubbed = [said for one in walk.parts.values() for said in one.rubbed]
    found = [*_before(walk, names, cleaning), *rubbed, *walk.late]
    if walk.unrinsed and "dry" not in {step.kind.kind for step in done if step}:
        found.append(f"rinse after {walk.unrinsed}")
    if walk.owed:
        found.append(f"neutralise after {walk.owed}, in weak bicarbonate, and rinse again")
    wet = [at for at, step in enumerate(steps) if step.kind.wets and step.takes > 0]
    last = max([*wet, *cleaning], default=-1)
    wiped = max((at for at in cleaning if steps[at].kind.kind == "wipe"), default=-1)
    found += _after(_aired(names, wiped, max(wet, default=-1)), last, bool(wet), wiped, tail_of(walk))
    for one in walk.parts.values():
        if walk.is_due(one):
            found.append(f"replace the {one.name}: {_why_due(walk, one.name)}")
        elif one.place == OUT and one.taken:
            found.append(f"clean the {one.name}, which was taken out, in a plan of its own")
    new = [at for at, name in enumerate(names) if name == "replace"]
    if new and new[0] < last:
        found.append(f"replace after step {last + 1}, {names[last] or 'the last cleaning'}: new parts go into no bath")
    if new and "lubricate" in names and new[-1] > _last(names, "lubricate"):
        found.append("lubricate after the new parts are there, not before")
    return tuple(dict.fromkeys(found))


def _before(walk: Walk, names: list[str], cleaning: list[int]) -> list[str]:
    found = []
    first = cleaning[0] if cleaning else len(names)
    if "strip" not in names:
        found.append("strip")
    elif names.index("strip") > first:
        found.append("strip before anything is cleaned: what is hidden stays dirty")
    for name in ("soft parts out", "replace"):
        if name in names and "strip" in names and names.index(name) < names.index("strip"):
            found.append(f"strip before {name}: until then nobody gets at the parts")
    if walk.soft_in_bath:
        found.append(f"soft parts out before {walk.soft_in_bath}: they do not go in with the hard ones")
    return found


def tail_of(walk: Walk) -> tuple[str, ...]:
    """What comes after the last cleaning and drying: IP is that of a first stage, a second stage's case has none.

    Parameters
    ----------
    walk : Walk
        A plan, or its parts.

    Returns
    -------
    tuple of str
        Steps in their order.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> from steadyneedle.bench.cleaning.harm_rules import Rules
    >>> tail_of(Walk.of(["PA case"], [], Rules()))
    ('inspect', 'lubricate')
    """
    first = any(known_parts()[name].family != "case" for name in walk.parts)
    return TAIL if first else tuple(name for name in TAIL if name != "retest IP")


def _aired(names: list[str], wiped: int, wet: int) -> list[str]:
    """The steps, where airing out after a wipe stands for drying: what was wet before it has been blown dry."""
    aired, blown = _last(names, "leave to dry"), _last(names, GAS)
    if wiped < 0 or aired < wiped or wet > wiped or (wet >= 0 and blown < wet):
        return names
    return [GAS if at == aired else "" if name == GAS and at > aired else name for at, name in enumerate(names)]


def _after(names: list[str], last: int, wet: bool, wiped: int, tail: Sequence[str]) -> list[str]:
    """Drying, where something was wet or wiped, then the tail, each after the one before."""
    found = []
    if wiped >= 0 and _last(names, GAS) < wiped:
        found.append(
            f"{GAS}, or air it out, after step {wiped + 1}, {names[wiped] or 'the wipe'}: "
            "what it was wiped with has to be gone before gas goes in"
        )
        wet = False
    for name in (*((GAS,) if wet or (wiped >= 0 and not found) else ()), *tail):
        at = _last(names, name)
        if at < 0:
            found.append(SAID[name])
        elif at < last:
            found.append(
                f"{SAID[name]} after step {last + 1}, {names[last] or 'the last cleaning'}: it comes too early"
            )
        last = max(last, at)
    return found


def _last(names: list[str], name: str) -> int:
    return max((at for at, one in enumerate(names) if one == name), default=-1)


def _why_due(walk: Walk, name: str) -> str:
    one = walk.parts[name]
    soil = next((soil for soil in one.taken if walk.resists(one, soil)), None)
    rule = walk.rules.must_replace(known_parts()[name])
    if rule is not None:
        return f"{rule.why}" + (f" ({walk.rules.named(rule)})" if rule.row else "")
    return f"{soil}, {sitting(name, soil or '').why}"
