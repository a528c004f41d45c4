"""Panels and tables of lesson 04b: beliefs that move, two beliefs, what would change one's mind, two orders."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from steadyneedle.bench.diagnosis.beliefs import NOT_DONE
from steadyneedle.bench.diagnosis.knowledge import Knowledge
from steadyneedle.bench.diagnosis.orders import LONGEST, two_orders
from steadyneedle.questions.bank.stories import ASKED, CREEPS, STORIES, Findings
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.wording import as_shown
from steadyneedle.teaching.figures import chances
from steadyneedle.teaching.figures import orders as orders_figure
from steadyneedle.teaching.figures.strokes import Row, Scene
from steadyneedle.teaching.frame.form import FormSession
from steadyneedle.teaching.frame.panel import Choice, Control, DrawnPanel, Panel, ScenePanel, Slider
from steadyneedle.teaching.learner.progress import Progress
from steadyneedle.teaching.panels.believed import (
    ENOUGH,
    ChangedMind,
    Worth,
    advised,
    believed,
    cause_rows,
    changes,
    known,
    percent_of,
    said,
    test_rows,
    worths,
)
from steadyneedle.teaching.panels.mystery_jobs import job_form, paths_panel
from steadyneedle.teaching.panels.offered import Live, Makers, SheetLoader, Table
from steadyneedle.teaching.panels.short_names import short_cause, short_test
from steadyneedle.teaching.panels.suspects import gas_rows, mend_rows

ROWS = 7
"""Causes that a figure has room for."""


@dataclass(frozen=True)
class Believed:
    """A belief after the first so many findings, and the rows of the figure: causes, tests where advice is shown."""

    counted: int
    findings: Findings
    causes: tuple[str, ...]
    shares: tuple[float, ...]
    leader: str
    of_leader: float
    odd: bool
    tests: tuple[str, ...]
    worths: tuple[Worth, ...]
    scale: float
    advice: Worth | None


def _believed(of: Knowledge, findings: Findings, counted: int, causes: tuple[str, ...], advice: bool) -> Believed:
    seen = said(findings[:counted])
    now, whole = believed(of, seen), said(findings)
    by_cause = now.by_cause
    rows = test_rows(of, whole, ROWS) if advice else ()
    every, following = {one.test: one for one in worths(of, seen)}, advised(of, seen) if advice else None
    scale = max(one.a_minute for n in range(len(whole) + 1) for one in worths(of, whole[:n])) if advice else 1.0
    return Believed(
        counted, seen, causes, tuple(by_cause[one] for one in causes), now.leader, now.of_leader, bool(now.doubts),
        rows, tuple(every[one] for one in rows), scale, every[following] if following else None,
    )  # fmt: skip


def beliefs_panel(preferences: Preferences) -> Panel:
    """How likely each cause is after findings, and what the next tests are worth."""

    def compute(counted: float, advice: str, **shown: str) -> Believed:
        findings = tuple((test, shown[test]) for test, _ in ASKED)
        rows = cause_rows((known(),), said(findings), ROWS)
        return _believed(known(), findings, round(counted), rows, advice == "shown")

    def scene(now: Believed) -> Scene:
        names = [*map(short_cause, now.causes), "all others"]
        if not now.tests:
            return chances.bars_scene([(chances.ALONE, names)], len(names))
        blocks = [(chances.CAUSES, names), (chances.TESTS, [short_test(one) for one in now.tests])]
        return chances.bars_scene(blocks, len(names))

    def row(now: Believed) -> Row:
        shares = [*now.shares, max(1 - sum(now.shares), 0.0)]
        block = chances.CAUSES if now.tests else chances.ALONE
        moved = block.row(shares, [percent_of(one) for one in shares])
        told = [f"{percent_of(one.tells)}, {one.minutes:.0f} min" for one in now.worths]
        return moved | chances.TESTS.row([one.a_minute / now.scale for one in now.worths], told)

    controls: tuple[Control, ...] = (
        Slider("counted", "Findings counted", 0, len(ASKED), 1, "", 2),
        *(Choice(test, short_test(test).capitalize(), (NOT_DONE, *shows), shows[0]) for test, shows in ASKED),
        Choice("advice", "Next test", ("shown", "hidden"), "shown"),
    )

    def describe(now: Believed) -> str:
        own = " Your instructor's own values." if known().own else ""
        return _says(preferences, now) + own

    return ScenePanel("What it may be", controls, compute, describe, scene=scene, row=row)


def _says(preferences: Preferences, now: Believed) -> str:
    """The leader, who follows, and what to do next."""
    begin = f"{now.counted} of {len(ASKED)} findings counted: " if now.counted else "Before any test: "
    leads = f"likeliest {short_cause(now.leader)}, {percent_of(now.of_leader)}."
    if now.odd:
        return f"{begin}{leads} Hardly any regulator shows all of this: do a test once more."
    if as_shown(100 * now.of_leader, 0) >= 100 * ENOUGH:
        return f"{begin}{leads} You wanted {percent_of(ENOUGH)}: stop, and say what you found."
    if now.leader == "sound":
        leads += " Nothing wrong was found so far."
    if not now.worths:
        return begin + leads
    if now.advice is None:
        return f"{begin}{leads} No test tells enough to be worth its minutes: stop, and say so."
    minutes = preferences.number(now.advice.minutes, 0)
    return (
        f"{begin}{leads} Do next: {short_test(now.advice.test)}; it tells "
        f"{percent_of(now.advice.tells)} of what is open in {minutes} min."
    )


@dataclass(frozen=True)
class TwoBeliefs:
    """One regulator as two technicians believe it: the same findings, other weights."""

    counted: int
    test: str
    outcome: str
    causes: tuple[str, ...]
    ours: Believed
    trade: Believed


def two_beliefs_panel(preferences: Preferences) -> Panel:
    """Our weights beside the trade's."""

    def compute(counted: float, story: str) -> TwoBeliefs:
        findings, many = STORIES[story], round(counted)
        rows = cause_rows((known(), known("trade")), findings, ROWS)
        ours, trade = (_believed(known(one), findings, many, rows, False) for one in ("ours", "trade"))
        test, outcome = findings[many - 1] if many else ("", "")
        return TwoBeliefs(many, test, outcome, rows, ours, trade)

    def scene(now: TwoBeliefs) -> Scene:
        names = [*map(short_cause, now.causes), "all others"]
        return chances.bars_scene([(chances.OURS, names), (chances.TRADE, [""] * len(names))], len(names))

    def row(now: TwoBeliefs) -> Row:
        moved: Row = {}
        for block, one in ((chances.OURS, now.ours), (chances.TRADE, now.trade)):
            shares = [*one.shares, max(1 - sum(one.shares), 0.0)]
            moved |= block.row(shares, [percent_of(each) for each in shares])
        return moved

    def describe(now: TwoBeliefs) -> str:
        seen = (
            f"{preferences.number(now.counted, 0)}. {short_test(now.test)}: {now.outcome}." if now.test else "0 tests."
        )
        ours, trade = (f"{short_cause(one.leader)}, {percent_of(one.of_leader)}" for one in (now.ours, now.trade))
        same = "Both name the same cause." if now.ours.leader == now.trade.leader else "They name different causes."
        return f"{seen} We: {ours}. The trade: {trade}. {same}"

    controls = (
        Slider("counted", "Tests done", 0, max(map(len, STORIES.values())), 1, "", 0),
        Choice("story", "A Juniper", tuple(STORIES), next(iter(STORIES))),
    )
    return ScenePanel("One regulator, two beliefs", controls, compute, describe, scene=scene, row=row)


@dataclass(frozen=True)
class Minds:
    """What would change one's mind after the first so many findings of a story."""

    counted: int
    leader: str
    of_leader: float
    changes: tuple[ChangedMind, ...]


MINDS = 6
"""Outcomes that the figure has room for."""


def minds_panel(preferences: Preferences) -> Panel:
    """What would change your mind."""

    def compute(counted: float, story: str) -> Minds:
        findings = STORIES[story][: round(counted)]
        now = believed(known(), findings)
        return Minds(round(counted), now.leader, now.of_leader, changes(known(), findings, MINDS))

    def row(now: Minds) -> Row:
        lines = [
            (f"{short_test(one.test)}: {one.outcome}", one.chance, percent_of(one.chance),
             f"{short_cause(one.leader)}, {percent_of(one.of_leader)}")
            for one in now.changes
        ]  # fmt: skip
        return chances.minds_row(MINDS, lines)

    def describe(now: Minds) -> str:
        likeliest = f"{short_cause(now.leader)}, {percent_of(now.of_leader)}"
        begin = f"Tests done: {preferences.number(now.counted, 0)}. Likeliest: {likeliest}."
        if not now.changes:
            return f"{begin} No outcome of one more test puts another cause first."
        one = now.changes[0]
        return (
            f"{begin} What would change that most: {short_test(one.test)}, if it shows {one.outcome} "
            f"({percent_of(one.chance)}). Then it is likeliest that: {short_cause(one.leader)}."
        )

    controls = (
        Slider("counted", "Tests done", 0, max(map(len, STORIES.values())), 1, "", 1),
        Choice("story", "A Juniper", tuple(STORIES), next(iter(STORIES))),
    )
    return ScenePanel(
        "What would change your mind", controls, compute, describe, scene=lambda _: chances.minds_scene(MINDS), row=row
    )


BEGINS: dict[str, Findings] = {
    CREEPS: (("watch_full", "creeps slowly"),), "it locks high": (("watch_full", "locks high"),), "nothing yet": (),
}  # fmt: skip
"""What is known before either order begins."""


def orders_panel(preferences: Preferences) -> Panel:
    """The trade's order beside the advised one."""

    def compute(minutes: float, begin: str) -> orders_figure.OrdersPicture:
        habit, advised = two_orders(known(), BEGINS[begin])
        return orders_figure.OrdersPicture(round(minutes), begin, 100 * habit.right, 100 * advised.right)

    def describe(now: orders_figure.OrdersPicture) -> str:
        habit, best = (preferences.number(one, 0) for one in now.now)
        return (
            f"After {preferences.number(now.minutes, 0)} minutes the leading cause is the right one in {best} of 100 "
            f"regulators as advised, and in {habit} of 100 by spring, diaphragm, land."
        )

    controls = (
        Slider("minutes", "Minutes of work", 0, LONGEST, 1, "min", 20),
        Choice("begin", "What is known", tuple(BEGINS), next(iter(BEGINS))),
    )
    return DrawnPanel(
        "Two orders", controls, compute, describe,
        draw=lambda result: orders_figure.orders_chart(result, preferences.localise),
    )  # fmt: skip


def panels(preferences: Preferences, _sheets: SheetLoader) -> Makers[Live]:
    """The panels of lesson 04b, by name."""
    made = {
        "beliefs": beliefs_panel, "minds": minds_panel, "two_beliefs": two_beliefs_panel, "orders": orders_panel,
    }  # fmt: skip
    return {name: partial(make, preferences) for name, make in made.items()}


def for_the_instructor(preferences: Preferences) -> Makers[Live]:
    """What the instructor's page alone shows: the paths of a class."""
    return {"job_paths": partial(paths_panel, preferences)}


def forms(progress: Progress, _sheets: SheetLoader) -> Makers[FormSession]:
    """The form that plays mystery jobs."""
    return {"mystery_job": partial(job_form, progress)}


def tables(preferences: Preferences, _sheets: SheetLoader) -> Makers[Table]:
    """The tables of lesson 04b, by name."""
    return {"gas": gas_rows, "mends": partial(mend_rows, preferences)}
