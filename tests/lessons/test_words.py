"""The words of the lessons: no measured number is typed, words of the trade lead to the glossary, own sheets are shown."""

from __future__ import annotations

import ast
import importlib
import inspect
import re
from pathlib import Path

import pytest

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.foundation import notebooks, places
from steadyneedle.questions.bank.bands import prediction_by_sheet
from steadyneedle.questions.plans import MODULES, Prediction, plan_of
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.lesson import Lesson
from steadyneedle.teaching.notes import on_bands
from steadyneedle.teaching.panels import bands

LESSONS = sorted(places.lessons().glob("[0-9]*.ipynb"))
PAGES = [
    *LESSONS,
    *sorted((places.lessons() / "instructor").glob("*.ipynb")),
    places.lessons() / "glossary.ipynb",
]
GLOSSARY = places.lessons() / "glossary.ipynb"
LINK = re.compile(r"\[([^\]]+)\]\(glossary\.ipynb#([^)]+)\)")

IN_WORDS = "half|one|two|three|four|five|six|seven|eight|nine|ten|fifteen|twenty|thirty|fifty|hundredths?|tenths?"
UNITS = (
    r"bar|mbar|psi|kPa|MPa|Pa|atm|kgf/cm²|mm²?|µm|m|cm³|mL|L|L/min|s|min|h|°C|K|N|%|percent|seconds?|minutes?|hours?|days?|months|"
    "metres?|millimetres?|litres?"
)
MEASURED = re.compile(
    rf"(?<![\w.])(?:[-+−±]?\d+(?:[.,]\d+)?(?: (?:to|or) \S+)? ?|(?:{IN_WORDS})(?: (?:to|or) \w+)? (?:of an? )?)(?:{UNITS})(?![\w²/])",
    re.I,
)
"""A number, in digits or in words, and a unit behind it."""

TYPED: dict[str, str] = {
    "0 °C": "definition of a standard cubic centimetre", "20 °C": "definition of mbar L/s",
    "2 %": "US law, cited", "six months": "US law, cited", "ten seconds": "the question itself, which the panel plays",
    "two minutes": "an invented watch, spoken of",
}  # fmt: skip
"""Numbers that may be typed, and why: what is defined, what is cited, what is a rule or a question of ours."""

ALLOWED = {one.lower() for one in TYPED}

NOT_READ = ("## Sources", "## Before you touch a real part")


def prose(path: Path) -> list[str]:
    """Markdown of a page without code spans, formulas, sources and the caution."""
    found = []
    for cell in notebooks.read(path)["cells"]:
        source = notebooks.source_of(cell)
        if cell["cell_type"] != "markdown" or source.startswith(NOT_READ):
            continue
        source = source.split("## Sources")[0]
        lines = [line for line in source.splitlines() if not line.startswith(">")]
        found.append(re.sub(r"`[^`]*`", "", "\n".join(lines)))
    return found


def typed_numbers(text: str) -> list[str]:
    """Numbers with a unit that stand in a text; one of a unit, as in "1 atm", names the unit and measures nothing."""
    found = [match.group() for match in MEASURED.finditer(text)]
    return [one for one in found if one.lower() not in ALLOWED and not re.match(r"(?:1|one)[ -]", one, re.I)]


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_no_measured_number_is_typed_in_prose(path: Path) -> None:
    text = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", "\n".join(prose(path)))
    assert typed_numbers(text) == [], path.name


def test_a_typed_number_is_found() -> None:
    for text in (
        "lost air for 144 s",
        "under 7.7 bar",
        "about six minutes to tell",
        "some 7 % more",
        "near 11 to 12 bar",
        "30 mbar",
    ):
        assert typed_numbers(text), text
    assert typed_numbers("lesson 02, section 7, at 0 °C and 1 atm, two scales, three readings, nine traces") == []


@pytest.mark.parametrize("number", list(MODULES))
def test_no_measured_number_is_typed_in_an_explanation(number: str) -> None:
    """Explanations of predictions are f-strings: what is typed in them holds no number but those of the question."""
    module = importlib.import_module(f"steadyneedle.questions.bank.{MODULES[number]}")
    asked = " ".join(
        f"{one.question} {one.options}" for one in plan_of(number).predictions if isinstance(one, Prediction)
    )
    for call in ast.walk(ast.parse(inspect.getsource(module))):
        if not (isinstance(call, ast.Call) and getattr(call.func, "id", "") == "Prediction" and len(call.args) > 3):
            continue
        for part in ast.walk(call.args[3]):
            if isinstance(part, ast.Constant) and isinstance(part.value, str):
                own = [one for one in typed_numbers(part.value) if one.strip() not in asked]
                assert own == [], part.value


def typed_in(tree: ast.AST) -> str:
    """The literal text of an expression, without what is computed into it."""
    parts = (one.value for one in ast.walk(tree) if isinstance(one, ast.Constant) and isinstance(one.value, str))
    return "\n".join(parts)


@pytest.mark.parametrize("number", list(MODULES))
def test_no_measured_number_is_typed_in_a_note(number: str) -> None:
    module = importlib.import_module(f"steadyneedle.teaching.notes.on_{MODULES[number]}")
    for node in ast.walk(ast.parse(inspect.getsource(module))):
        if isinstance(node, ast.FunctionDef) and node.name.endswith(("_note", "_words")):
            assert typed_numbers("\n".join(typed_in(one) for one in node.body[1:])) == [], node.name


@pytest.mark.parametrize("number", list(MODULES))
def test_no_measured_number_is_typed_in_what_an_instructor_answers(number: str) -> None:
    """The last cell of a row may repeat what was set and asked; every other number in it is computed."""
    module, seen = importlib.import_module(f"steadyneedle.teaching.notes.class_{MODULES[number]}"), 0
    for node in ast.walk(ast.parse(inspect.getsource(module))):
        if isinstance(node, ast.Tuple) and len(node.elts) in (2, 5) and typed_in(node):
            asked = " ".join(map(typed_in, node.elts[:-1]))
            own = [one for one in typed_numbers(typed_in(node.elts[-1])) if one not in asked]
            assert own == [], (own, asked)
            seen += 1
    assert seen >= 5


def test_every_link_to_the_glossary_leads_to_a_word_there() -> None:
    there = {one.replace(" ", "-") for cell in prose(GLOSSARY) for one in re.findall(r"^### (.+)$", cell, re.M)}
    linked: set[str] = set()
    for path in LESSONS:
        linked |= {anchor for cell in prose(path) for _, anchor in LINK.findall(cell)}
    assert linked <= there, linked - there
    only_in_figures_and_questions = {"choked-flow", "cracking-effort", "guarded-acceptance", "span", "tag"}
    assert there - linked <= only_in_figures_and_questions, "a word of the glossary that no lesson leads to"


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.name)
def test_a_word_leads_to_the_glossary_where_it_is_first_used(path: Path) -> None:
    before = ""
    for cell in prose(path):
        body = "\n".join(line for line in cell.splitlines() if not line.startswith(("#", "You need lesson")))
        if cell.startswith(("## Warm-up", "## Mixed review", "## Summary")):
            continue
        for match in LINK.finditer(body):
            earlier = before + re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", body[: match.start()])
            assert not re.search(
                rf"(?<![\w-]){re.escape(match[1])}(?![\w-])", re.sub(r"(?<!\*)\*[^*\n]+\*(?!\*)", "", earlier)
            ), (match[1], cell)
        before += re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", body) + "\n"


def test_objectives_are_in_one_style() -> None:
    for number in MODULES:
        for one in plan_of(number).objectives:
            assert one[0].islower() and not one.endswith("."), one


OWN = """name,ip_low_psi,ip_high_psi,ip_low_bar,ip_high_bar,supply_bar,rule,source
Ours,130,140,9.0,9.6,180,guarded,"our manual, invented"
"""


@pytest.fixture
def own_sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "ours.csv").write_text(OWN, encoding="utf-8")
    monkeypatch.setenv(places.SHEETS_VARIABLE, str(tmp_path))
    monkeypatch.setenv(places.WORK_VARIABLE, str(tmp_path))
    return tmp_path


def test_an_own_sheet_leads_questions_figures_and_notes_of_lesson_03(own_sheet: Path) -> None:
    """The question, its explanation, where the controls begin, both bands and the warning about them."""
    sheets = load_sheets(own_sheet)
    asked = prediction_by_sheet(bands.leading_sheet(sheets))
    assert asked.question == "The needle stands at 138 psi, the band is 130 to 140 psi. Does it pass?"
    assert "138 psi lies within U" in asked.explanation and "of the limit 140 psi" in asked.explanation
    lesson = Lesson("03")
    lesson.predict("verdict")
    verdict, risk = lesson.make_panel("verdict"), lesson.make_panel("risk")
    start = verdict.start()
    assert start["sheet"] == "Ours" and start["rule"] == "guarded acceptance"
    low, high = 130, 140  # psi, as the sheet's own controls are
    assert low < start["reading"] < high, "the needle begins inside the sheet's own band"
    assert risk.controls[0].high == pytest.approx(0.3 * (high - low), abs=0.001)
    head, rows = bands.sheet_rows(Preferences(), sheets)
    row = dict(zip(head, rows[0], strict=True))
    assert row["IP band"] == "130 to 140 psi" and row["also printed as"] == "9 to 9.6 bar"
    said = on_bands.notes(Preferences("comma"), lambda: sheets)
    assert "Ours: " in said["warnings"]()[1] and "9,6 bar" in said["warnings"]()[1]
    assert said["in_use"]()[0].startswith("The figures and questions below begin with Ours: 130 to 140 psi")
    assert "Ours's band, 130 to 140 psi" in said["scatter"]()[0]
