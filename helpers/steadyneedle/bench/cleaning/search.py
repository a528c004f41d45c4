"""The search behind the best plan: uniform cost, a lower bound, and dominance over residues and exposures.

Residue and exposure are whole numbers of a thousand-millionth, so that the same minutes in another order meet again;
residue is rounded up, and counts as 0 once it is under its limit. A limit of exposure enters only once a plan without
it went over it: a plan that is best among more, and stays within all, is best.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from steadyneedle.bench.cleaning.catalogue import known_methods, law
from steadyneedle.bench.cleaning.harm_rules import NEVER, Rules, touched
from steadyneedle.bench.cleaning.removal import needed, rate_of
from steadyneedle.bench.cleaning.steps import Step
from steadyneedle.bench.cleaning.walk import ACID, GRIT, HEAT, SOLVENT, never_together

MOST_STATES = 60_000
"""States that a search looks at before it gives up."""

GRAIN = 1_000_000_000
SLACK = 1000
RUBS = ("tool", "wipe")


@dataclass(frozen=True)
class Way:
    """A method as the search sees it, for each minute: what it takes off, what it uses up, what it brings."""

    name: str
    removes: tuple[int, ...]
    uses: tuple[int, ...]
    brings: frozenset[str]
    clashes: frozenset[str]
    first: int
    kind: str


@dataclass(frozen=True)
class Task:
    """What is to come off, in grains, and the ways there are; `stuck` is a soil that none of them takes off."""

    needs: tuple[int, ...]
    ways: tuple[Way, ...]
    grit: int
    stuck: str = ""
    weights: tuple[tuple[float, ...], ...] = ()


@dataclass(frozen=True)
class Found:
    """Cleaning steps without the frame of a plan, or None, and how many states were looked at."""

    steps: tuple[Step, ...] | None
    states: int
    stopped: bool = False


@dataclass(frozen=True)
class _State:
    needs: tuple[int, ...]
    used: tuple[int, ...]
    present: frozenset[str]
    unrinsed: bool
    owed: bool
    now: int  # the way that goes on, -1 before the first


def task_of(kept: Sequence[str], pairs: Sequence[tuple[str, str]], rules: Rules) -> Task:
    """What a search is given: the soils of the parts that are kept, and every method that harms none of them.

    Parameters
    ----------
    kept : sequence of str
        Parts that stay in.
    pairs : sequence of tuple
        Parts and the soils on them.
    rules : Rules
        An instructor's own.

    Returns
    -------
    Task
        Needs and ways.

    References
    ----------
    `datasets/cleaning`.

    Examples
    --------
    >>> from steadyneedle.bench.cleaning.harm_rules import Rules
    >>> task_of(["bare aluminium part"], [("bare aluminium part", "scale")], Rules()).stuck
    'scale'
    """
    soils = list(dict.fromkeys(soil for _, soil in pairs))
    listed = [_way_of(name, kept, soils, rules) for name in known_methods()]
    dims = sorted({key for one in listed if one for key in one[1]}, key=str)
    ways = tuple(_finished(*one, dims) for one in listed if one)
    needs = tuple(math.ceil(needed(soil) * GRAIN) for soil in soils)
    stuck = next((soil for at, soil in enumerate(soils) if not any(way.removes[at] for way in ways)), "")
    grit = soils.index(GRIT) if GRIT in soils else -1
    return Task(needs, ways, grit, stuck)


def _way_of(
    name: str, kept: Sequence[str], soils: Sequence[str], rules: Rules
) -> tuple[str, dict[tuple[str, object], int], tuple[int, ...]] | None:
    """A method that may be used on every part, what a minute uses of each limit; None where it may not."""
    method = known_methods()[name]
    removes = tuple(math.floor(rate_of(Step(name), soil) * GRAIN) for soil in soils)
    if name not in ("rinse", "neutralise") and (not method.cleans or not any(removes)):
        return None
    if method.agent == SOLVENT and method.ultrasonic:
        return None
    uses: dict[tuple[str, object], int] = {}
    for part in kept:
        does = touched(part, Step(name, 1), rules)
        if does.not_covered or does.marks or does.too_hot or any(rule.limit == NEVER for rule in does.counted):
            return None
        for rule in does.counted:
            share = round(rule.share(Step(name, 1)) * GRAIN)
            if share:
                uses[part, rule] = share
    return name, uses, removes


def _finished(
    name: str, uses: dict[tuple[str, object], int], removes: tuple[int, ...], dims: Sequence[tuple[str, object]]
) -> Way:
    method = known_methods()[name]
    brings = {method.agent} & {agent for pair in never_together() for agent in pair}
    if method.kind == "bath" and (method.usual_celsius or 0) >= law("heat_celsius"):
        brings.add(HEAT)
    clashes = {other for pair in never_together() for other in pair if pair - {other} <= brings and len(pair) == 2}
    return Way(
        name,
        removes,
        tuple(uses.get(dim, 0) for dim in dims),
        frozenset(brings),
        frozenset(clashes),
        max(1, math.ceil(method.least_minutes)),
        method.kind,
    )


def _weights(needs: tuple[int, ...], ways: Sequence[Way]) -> tuple[tuple[float, ...], ...]:
    """Minutes for each grain of need that no mixture of the ways can beat: the dual of a linear programme."""
    if not needs:
        return ()
    from scipy.optimize import linprog

    rates = [[one / GRAIN for one in way.removes] for way in ways if any(way.removes)]
    solved = linprog([-need / GRAIN for need in needs], A_ub=rates, b_ub=[1.0] * len(rates), method="highs")
    best = tuple(max(0.0, value) * (1 - 1e-6) / GRAIN for value in solved.x)
    single = [
        tuple((1 / max(way.removes[at] for way in ways)) * (at == other) for other in range(len(needs)))
        for at in range(len(needs))
    ]
    return (best, *single)


def search(task: Task) -> Found:
    """The cleaning steps of fewest minutes, then fewest steps.

    Parameters
    ----------
    task : Task
        From `task_of`, not stuck.

    Returns
    -------
    Found
        Steps, or None where there are none or the search was stopped.

    References
    ----------
    Uniform-cost search with an admissible lower bound (Hart, Nilsson and Raphael 1968, from memory) and dominance.

    Examples
    --------
    >>> from steadyneedle.bench.cleaning.harm_rules import Rules
    >>> [step.words for step in search(task_of(["titanium part"], [("titanium part", "scale")], Rules())).steps][:1]
    ['ultrasonic acid, 3 min at 20 °C, 5 %, 40 kHz']
    """
    counted: tuple[int, ...] = ()
    looked = 0
    most = law("margin") * GRAIN + SLACK
    while True:
        path, states = _search(_narrowed(task, counted), MOST_STATES - looked)
        looked += states
        if path is None:
            return Found(None, looked, looked >= MOST_STATES)
        uses = {way.name: way.uses for way in task.ways}
        used = (
            [sum(minutes * uses[name][at] for name, minutes in path) for at in range(len(task.ways[0].uses))]
            if path
            else []
        )
        over = tuple(at for at, share in enumerate(used) if share > most)
        if not over:
            return Found(tuple(Step(name, float(minutes)) for name, minutes in path), looked)
        counted += over


def _narrowed(task: Task, counted: tuple[int, ...]) -> Task:
    """The task with the exposures that count, without the ways that another beats in everything."""
    ways = [replace(way, uses=tuple(way.uses[at] for at in counted)) for way in task.ways]
    keep = tuple(
        way
        for at, way in enumerate(ways)
        if not any(_beats(other, way) and (n < at or not _beats(way, other)) for n, other in enumerate(ways) if n != at)
    )
    return replace(task, ways=keep, weights=_weights(task.needs, keep))


def _beats(one: Way, other: Way) -> bool:
    """Whether a way does all that another does, at no more of anything."""
    if one.kind != other.kind and not (one.kind == "bath" and other.kind == "tool"):
        return False
    return (
        one.first <= other.first
        and one.brings <= other.brings
        and one.clashes <= other.clashes
        and all(a >= b for a, b in zip(one.removes, other.removes, strict=True))
        and all(a <= b for a, b in zip(one.uses, other.uses, strict=True))
    )


def _search(task: Task, most_states: int) -> tuple[tuple[tuple[str, int], ...] | None, int]:
    debts = _Debts.of(task)
    start = _State(task.needs, (0,) * (len(task.ways[0].uses) if task.ways else 0), frozenset(), False, False, -1)
    tie = itertools.count()
    queue: list[tuple] = [(debts.bound(task, start), 0, next(tie), 0, start, ())]
    seen: dict[tuple, list[tuple[int, int, _State]]] = {}
    looked = 0
    while queue:
        _, steps, _, minutes, state, path = heapq.heappop(queue)
        if not any(state.needs) and not state.unrinsed and not state.owed:
            return tuple((task.ways[at].name, spent) for at, spent in path), looked
        if _dominated(task, seen, minutes, steps, state):
            continue
        looked += 1
        if looked >= most_states:
            return None, looked
        for at, way in enumerate(task.ways):
            new = _next(task, state, at, way)
            if new is None:
                continue
            goes_on = at == state.now
            spent = 1 if goes_on else way.first
            after = minutes + spent
            longer = (*path[:-1], (at, path[-1][1] + 1)) if goes_on else (*path, (at, spent))
            more = steps + (not goes_on)
            heapq.heappush(queue, (after + debts.bound(task, new), more, next(tie), after, new, longer))
    return None, looked


@dataclass(frozen=True)
class _Debts:
    """What has to follow at least: a rinse of so many minutes, a bath in bicarbonate, and what a rinse takes off."""

    rinse: int
    neutral: int
    rinsed: tuple[int, ...]
    only_acid: tuple[bool, ...]
    only_wet: tuple[bool, ...]

    @classmethod
    def of(cls, task: Task) -> _Debts:
        ways = {way.name: way for way in task.ways}
        zero = (0,) * len(task.needs)
        rinse, neutral = ways.get("rinse"), ways.get("neutralise")
        takers = [[way for way in task.ways if way.removes[at]] for at in range(len(task.needs))]
        return cls(
            rinse.first if rinse else 0,
            neutral.first if neutral else 0,
            rinse.removes if rinse else zero,
            tuple(all(ACID in way.brings for way in those) for those in takers),
            tuple(all(way.kind in ("bath", "tool") for way in those) for those in takers),
        )

    def bound(self, task: Task, state: _State) -> int:
        """Whole minutes that are needed at least; a rinse that has to come anyway may take some off as well."""
        acid = (ACID in state.present and state.owed) or any(
            n and o for n, o in zip(state.needs, self.only_acid, strict=True)
        )
        wet = state.unrinsed or state.owed or any(n and o for n, o in zip(state.needs, self.only_wet, strict=True))
        rinses = self.rinse * (2 if acid else 1 if wet else 0)
        debt = rinses + self.neutral * (acid or state.owed)
        rest = [max(0, n - rinses * r) for n, r in zip(state.needs, self.rinsed, strict=True)]
        least = max((sum(w * n for w, n in zip(one, rest, strict=True)) for one in task.weights), default=0.0)
        return debt + math.ceil(least - 1e-6)


def _next(task: Task, state: _State, at: int, way: Way) -> _State | None:
    goes_on = at == state.now
    if not _allowed(task, state, at, goes_on):
        return None
    minutes = 1 if goes_on else way.first
    used = tuple(u + minutes * more for u, more in zip(state.used, way.uses, strict=True))
    if any(u > law("margin") * GRAIN + SLACK for u in used):
        return None
    needs = tuple(max(0, n - minutes * r) for n, r in zip(state.needs, way.removes, strict=True))
    if way.kind == "rinse":
        return _State(needs, used, frozenset(), False, state.owed, at)
    owed = (state.owed or ACID in way.brings) and way.kind != "neutral"
    unrinsed = state.unrinsed or way.kind != "wipe"
    return _State(needs, used, state.present | way.brings, unrinsed, owed, at)


def _allowed(task: Task, state: _State, at: int, goes_on: bool) -> bool:
    way = task.ways[at]
    helps = any(n and r for n, r in zip(state.needs, way.removes, strict=True))
    if way.kind == "neutral":
        return state.owed and ACID not in state.present and not goes_on
    if way.kind == "rinse":
        return helps or ((state.unrinsed or bool(state.present)) and not goes_on)
    if state.owed and ACID not in way.brings:
        return False  # the acid is dealt with before anything else is done
    if way.kind in RUBS and task.grit >= 0 and state.needs[task.grit]:
        return False
    return helps and (goes_on or (not way.clashes & state.present and not _in_either_order(task, state.now, at)))


def _in_either_order(task: Task, now: int, at: int) -> bool:
    """Whether what was just done and what comes next may as well be swapped, and stand in the other order already."""
    if now < at:
        return False
    before, way = task.ways[now], task.ways[at]
    if before.kind in ("rinse", "neutral") or (ACID in before.brings) != (ACID in way.brings):
        return False
    return task.grit < 0 or (before.kind in RUBS) == (way.kind in RUBS)


def _dominated(task: Task, seen: dict, minutes: int, steps: int, state: _State) -> bool:
    """Whether another state has no more residue, exposure, agents, debts, minutes and steps; else it is kept."""
    key = (state.present, state.unrinsed, state.owed)
    fixed = state.now >= 0 and task.ways[state.now].first > 1
    for (present, unrinsed, owed), kept in seen.items():
        if not (present <= state.present and unrinsed <= state.unrinsed and owed <= state.owed):
            continue
        for m, s, other in kept:
            same = other.now == state.now
            if m > minutes or (not same and fixed) or (m == minutes and s + (not same) > steps):
                continue
            if all(a <= b for a, b in zip(other.needs, state.needs, strict=True)) and all(
                a <= b for a, b in zip(other.used, state.used, strict=True)
            ):
                return True
    seen.setdefault(key, []).append((minutes, steps, state))
    return False
