"""The search behind the best plan: uniform cost, a lower bound, and dominance over residues and exposures.

A limit of exposure enters only once a plan without it went over it: a plan that is best among more, and stays within
all, is best.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from steadyneedle.bench.cleaning.catalogue import law
from steadyneedle.bench.cleaning.one_part import ACID, RESIDUE, RUBS
from steadyneedle.bench.cleaning.steps import CleaningStep as Step
from steadyneedle.bench.cleaning.ways import GRAIN, SLACK, Task, Way, narrowed

MOST_STATES = 20_000
"""States that a search looks at before it gives up."""


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
    closed: frozenset[int] = frozenset()  # ways that were used and left: all their minutes may stand at the first place


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
    >>> from steadyneedle.bench.cleaning.ways import task_of
    >>> [step.words for step in search(task_of(["titanium part"], [("titanium part", "scale")], Rules())).steps][:1]
    ['ultrasonic acid, 3 min at 20 °C, 5 %, 40 kHz']
    """
    counted: tuple[int, ...] = ()
    looked = 0
    most = law("margin") * GRAIN + SLACK
    while True:
        path, states = _search(narrowed(task, counted), MOST_STATES - looked)
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


def _search(task: Task, most_states: int) -> tuple[tuple[tuple[str, int], ...] | None, int]:
    if task.price is None:
        return None, 0
    debts = _Debts.of(task)
    unused = (0,) * (len(task.ways[0].uses) if task.ways else 0)
    start = _State(task.needs, unused, _on_parts(task, task.needs), False, False, -1)
    tie = itertools.count()
    queue: list[tuple] = [(debts.bound(task, start), 0, next(tie), 0, start, ())]
    seen = _Seen(task)
    looked = 0
    while queue:
        _, steps, _, minutes, state, path = heapq.heappop(queue)
        if not any(state.needs) and not state.unrinsed and not state.owed:
            return tuple((task.ways[at].name, spent) for at, spent in path), looked
        if seen.beats(minutes, steps, state):
            continue
        looked += 1
        if looked >= most_states:
            return None, looked
        for at, way in enumerate(task.ways):
            new = _next(task, state, at, way)
            if new is None or not _can_still(task, new):
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
    most: float
    rates: dict[tuple[frozenset[int], int], int]

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
            law("margin") * GRAIN + SLACK,
            {},
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
        least = max((n / self.fastest(task, state, at) for at, n in enumerate(rest) if n), default=0.0)
        if task.price is not None:
            free = [self.most - u for u in state.used]
            least = max(least, _worth(task.price.need, rest) - _worth(task.price.free, free))
        return debt + max(0, math.ceil(least - 1e-6))

    def fastest(self, task: Task, state: _State, at: int) -> int:
        """The most that a minute of a way still open takes off; one where none is left."""
        key = (state.closed, at)
        if key not in self.rates:
            rates = (way.removes[at] for number, way in enumerate(task.ways) if number not in state.closed)
            self.rates[key] = max(rates, default=0) or 1
        return self.rates[key]


def _worth(prices: Sequence[float], grains: Sequence[float]) -> float:
    return sum(price * grain for price, grain in zip(prices, grains, strict=True))


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
        return _State(needs, used, _on_parts(task, needs), False, state.owed, at, _closed(task, state, at))
    owed = (state.owed or ACID in way.brings) and way.kind != "neutral"
    unrinsed = state.unrinsed or way.kind != "wipe"
    return _State(needs, used, state.present | way.brings, unrinsed, owed, at, _closed(task, state, at))


def _on_parts(task: Task, needs: tuple[int, ...]) -> frozenset[str]:
    """What the parts themselves bring into a bath: a disinfectant that is not off yet."""
    return frozenset((RESIDUE,)) if task.residue >= 0 and needs[task.residue] else frozenset()


def _closed(task: Task, state: _State, at: int) -> frozenset[int]:
    """The ways that are left for good: a second time of one would do no more than a longer first time."""
    left = state.now not in (-1, at) and task.ways[state.now].kind not in ("rinse", "neutral")
    return state.closed | {state.now} if left else state.closed


def _can_still(task: Task, state: _State) -> bool:
    """Whether what is left of the limits is enough for every need, looked at one by one."""
    most = law("margin") * GRAIN + SLACK
    for at, need in enumerate(state.needs):
        reach = 0.0
        for number, way in enumerate(task.ways) if need else ():
            if way.removes[at] and number not in state.closed:
                spare = [(most - u) // more for u, more in zip(state.used, way.uses, strict=True) if more]
                reach += min(spare, default=math.inf) * way.removes[at]
        if reach < need:
            return False
    return True


def _allowed(task: Task, state: _State, at: int, goes_on: bool) -> bool:
    way = task.ways[at]
    helps = any(n and r for n, r in zip(state.needs, way.removes, strict=True))
    if way.kind == "neutral":
        return state.owed and ACID not in state.present and not goes_on
    if way.kind == "rinse":
        return helps or ((state.unrinsed or bool(state.present)) and not goes_on)
    if state.owed and ACID not in way.brings:
        return False  # the acid is dealt with before anything else is done
    if _too_early(task, state, way):
        return False
    return (
        helps
        and at not in state.closed
        and (goes_on or (not way.clashes & state.present and not _in_either_order(task, state.now, at)))
    )


def _too_early(task: Task, state: _State, way: Way) -> bool:
    """Whether grit, a crust or a film must be off before."""
    return (
        (way.kind in RUBS and task.grit >= 0 and state.needs[task.grit] > 0)
        or (way.kind == "tool" and any(_whole(task, state, crust) for crust in task.crusts))
        or (ACID in way.brings and any(state.needs[film] for film in task.films))
    )


def _whole(task: Task, state: _State, crust: int) -> bool:
    """Whether more of a crust is left than a tool may meet."""
    loose = math.log(100 / law("crust_loose")) * GRAIN
    return state.needs[crust] > 0 and task.needs[crust] - state.needs[crust] < loose


def _in_either_order(task: Task, now: int, at: int) -> bool:
    """Whether what was just done and what comes next may as well be swapped, and stand in the other order already."""
    if now < at:
        return False
    before, way = task.ways[now], task.ways[at]
    if before.kind in ("rinse", "neutral") or (ACID in before.brings) != (ACID in way.brings):
        return False
    return (task.grit < 0 and not task.crusts) or (before.kind in RUBS) == (way.kind in RUBS)


class _Seen:
    """The states that were looked at, by what is present and owed: minutes, steps, way, residues and exposures."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.kept: dict[tuple[frozenset[str], bool, bool], tuple[Any, int]] = {}

    def beats(self, minutes: int, steps: int, state: _State) -> bool:
        """Whether one has no more residue, exposure, agents, debts, minutes and steps; else this one is kept."""
        import numpy as np

        row = np.array((minutes, steps, state.now, *state.needs, *state.used), dtype=np.int64)
        fixed = state.now >= 0 and self.task.ways[state.now].first > 1
        for (present, unrinsed, owed), (table, count) in self.kept.items():
            if not (present <= state.present and unrinsed <= state.unrinsed and owed <= state.owed):
                continue
            rows = table[:count]
            same = rows[:, 2] == state.now
            sooner = (rows[:, 0] < minutes) | ((rows[:, 0] == minutes) & (rows[:, 1] + ~same <= steps))
            good = sooner & (same | (not fixed))
            if good.any() and (rows[good][:, 3:] <= row[3:]).all(axis=1).any():
                return True
        key = (state.present, state.unrinsed, state.owed)
        table, count = self.kept.get(key, (np.empty((64, row.size), dtype=np.int64), 0))
        if count == len(table):
            table = np.concatenate([table, np.empty_like(table)])
        table[count] = row
        self.kept[key] = (table, count + 1)
        return False
