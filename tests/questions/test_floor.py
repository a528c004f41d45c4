"""The floor of questions: no widget, no plot, light to load, and answers of version 0.1.0 kept."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from steadyneedle.questions.choice import ChoiceExercise
from steadyneedle.questions.exercise import Mistake, Named, QuantityExercise
from steadyneedle.questions.plans import MODULES, for_papers, plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.questions.wording import written

ASK_ALL = """
import sys
from steadyneedle.questions.plans import MODULES, for_papers, plan_of
for asked in [*(plan_of(number).exercises for number in MODULES), for_papers()]:
    for one in asked:
        givens = one.givens("floor", 1)
        assert one.question(givens) and one.help_lines(givens) and one.steps(givens)
        right = one.solve(givens)
        typed = right if isinstance(right, str) else f"{right.magnitude:.9g} {one.unit}"
        assert one.check(givens, typed).outcome == "right", one.name
heavy = {"anywidget", "ipywidgets", "IPython", "matplotlib", "traitlets"}
print(sorted(heavy & {name.partition(".")[0] for name in sys.modules}))
"""


def test_every_exercise_is_asked_and_checked_without_a_widget_or_a_plot() -> None:
    done = subprocess.run([sys.executable, "-c", ASK_ALL], capture_output=True, text=True)
    assert done.stdout.strip() == "[]", done.stdout + done.stderr


def seconds(code: str, compiled: Path) -> float:
    """What a new process takes for it, its modules compiled as a learner's are, whatever this machine's habit."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    environment["PYTHONPYCACHEPREFIX"] = str(compiled)
    begin = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, env=environment)
    return time.perf_counter() - begin


@pytest.mark.benchmark
def test_the_bank_loads_about_as_fast_as_the_unit_registry(tmp_path: Path) -> None:
    """At most 1.3 times `import pint` with one registry, both with a cache that is already there, in the same run."""
    from steadyneedle.bench.units import registry

    cache = registry.cache_folder
    registry_alone = (
        f"import pint; pint.UnitRegistry(cache_folder={str(cache)!r})('1 bar').to('psi')"
        if cache
        else ("import pint; pint.UnitRegistry()('1 bar').to('psi')")
    )
    bank = "from steadyneedle.questions.plans import MODULES, plan_of\nfor number in MODULES: plan_of(number)"
    for code in (registry_alone, bank):
        seconds(code, tmp_path)
    # Whatever else the machine does only adds time, so the shortest of each is what the code itself takes.
    pairs = [(seconds(bank, tmp_path), seconds(registry_alone, tmp_path)) for _ in range(9)]
    ratio = min(one for one, _ in pairs) / min(other for _, other in pairs)
    print(f"the bank beside a registry: {ratio:.2f}")
    assert ratio <= 1.3, pairs


def test_an_unknown_exercise_or_prediction_is_named_with_those_there_are() -> None:
    with pytest.raises(ValueError, match=r"Lesson 01 has no exercise 'psi'; it has read_the_divisions, "):
        plan_of("01").exercise("psi")
    with pytest.raises(ValueError, match=r"Lesson 01 has no prediction 'psi'; it has dial, "):
        plan_of("01").prediction("psi")


def test_a_choice_is_kept_by_its_key_and_words_of_0_1_0_become_one() -> None:
    for number in MODULES:
        for one in plan_of(number).exercises:
            if isinstance(one, ChoiceExercise):
                givens = one.givens("keys", 1)
                for key, words in one.options(givens).items():
                    assert one.key_of(givens, words) == one.key_of(givens, key) == key
                assert one.key_of(givens, "words of no option") == ""


def test_a_mistake_that_is_right_needs_no_guard() -> None:
    """A choice's is skipped; a quantity's numbers are drawn again."""
    choice = ChoiceExercise(
        name="a", title="", objectives=(1,), draw=lambda d: {"n": d.integer(0, 1)},
        work=lambda w: {"answer": "yes" if w.n else "no"}, ask="{n}?", choices={"yes": "Yes", "no": "No"},
        mistakes=(Mistake("always yes", lambda w: "yes", "Not always."),), hints=("", ""), working="{right}",
    )  # fmt: skip
    assert choice.check({"n": 1}, "yes").outcome == "right"
    assert choice.check({"n": 0}, "yes").mistake == "always yes" and choice.check({"n": 1}, "no").outcome == "off"
    number = QuantityExercise(
        name="b", title="", objectives=(1,), draw=lambda d: {"n": d.integer(1, 3)}, work=lambda w: {"answer": 2.0 * w.n},
        ask="{n}", mistakes=(Mistake("squared", lambda w: float(w.n**2), ""),), hints=("", ""), working="",
    )  # fmt: skip
    drawn = {number.givens("fair", n)["n"] for n in range(60)}
    assert drawn == {1, 3}, "2 is drawn again: there the mistake is right"


def test_sentences_write_numbers_as_people_do() -> None:
    names = Named({"class": 1.6, "depth": 30, "ip": 9.805, "word": "up", "small": -0.001})
    text = ("Class {class}, {depth} m, {ip:.2f} bar, {word}, {small:.2f}",)
    assert written(text, names, Preferences("comma")) == ["Class 1,6, 30 m, 9,81 bar, up, 0,00"]
    with pytest.raises(ValueError, match="is no format of a sentence"):
        written("{ip:>8}", names, Preferences())
    with pytest.raises(KeyError):
        written("{nothing}", names, Preferences())


def test_an_exercise_costs_few_lines() -> None:
    """The median exercise, its work function included, takes at most 25 lines of the bank."""
    import ast

    from steadyneedle.questions import bank

    sizes = []
    for path in Path(bank.__path__[0]).glob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        length = {n.name: n.end_lineno - n.lineno + 1 for n in tree.body if isinstance(n, ast.FunctionDef)}
        for node in tree.body:
            if isinstance(node, ast.Assign) and getattr(getattr(node.value, "func", None), "id", "").endswith(
                "Exercise"
            ):
                called = {n.id for n in ast.walk(node) if isinstance(n, ast.Name)} & set(length)
                sizes.append(node.end_lineno - node.lineno + 1 + sum(length[name] for name in called))
    sizes.sort()
    print(f"{len(sizes)} exercises: median {sizes[len(sizes) // 2]} lines, longest {sizes[-1]}")
    assert len(sizes) == sum(len(plan_of(number).exercises) for number in MODULES) + len(for_papers())
    assert sizes[len(sizes) // 2] <= 25
