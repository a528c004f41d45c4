"""Plans of papers: what a course team writes, refused by line where it is wrong."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from steadyneedle.assessing import plan_file
from steadyneedle.assessing.difficulty import why_not
from steadyneedle.assessing.exercise_list import known_exercises
from steadyneedle.assessing.job_rubric import Scheme
from steadyneedle.assessing.paper_plan import PlanError, exercise_named
from steadyneedle.assessing.plan_file import load_plan, plan_names, read_plan
from steadyneedle.assessing.secret import CohortKey
from steadyneedle.assessing.setting import paper_for
from steadyneedle.assessing.specimen import specimen_of
from steadyneedle.bench.bands import judge
from steadyneedle.bench.units import Q
from steadyneedle.foundation import notebooks, places

HEAD = 'title = "T"\nminutes = 10\npass_percent = 50\n'
ONE = '[[questions]]\nexercise = "lock_up"\n'
TRACE = ONE.replace("lock_up", "which_trace")
JOB = (
    '[[questions]]\njob = "find_it"\ntitle = "Find it"\n'
    "marks = { cause = 5, safe = 2, minutes = 2, honest = 1 }\nwithin = 1.5\n"
)
TEXT = '[[questions]]\ntext = "a"\ntitle = "A"\nask = "Why?"\nrubric = ["1 mark: so"]\nmodel = "So."\n'


def plan_of(tmp_path: Path, text: str, name: str = "some-paper.toml") -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("name", plan_names())
def test_the_plans_that_are_shipped_hold(name: str) -> None:
    plan = load_plan(name.replace("-", " "))
    assert plan.name == name and [one.number for one in plan.questions] == list(range(1, len(plan.questions) + 1))
    assert any(one.critical for one in plan.questions) and plan.out_of >= len(plan.questions)


def test_units_and_bands_has_twenty_questions() -> None:
    assert len(load_plan("Units and  bands").questions) == 20


def test_the_reading_at_the_limit_is_what_its_model_answer_says() -> None:
    """The text question of "units and bands": 9.9 bar in a band of 9.2 to 10.0 bar, U = 0.2 bar, by both rules."""
    planned = load_plan("units and bands").questions[-1]
    assert all(words in planned.ask for words in ("9.2 to 10.0 bar", "reads 9.9 bar", "U = 0.2 bar"))
    reading, low, high, uncertainty = (Q(value, "bar") for value in (9.9, 9.2, 10.0, 0.2))
    assert judge(reading, low, high, uncertainty, "simple").outcome == "inside"
    assert judge(reading, low, high, uncertainty, "guarded").outcome == "cannot tell"
    assert "9.9 + 0.2 = 10.1 bar" in " ".join(planned.model) and planned.half_marks


def test_a_plan_is_read_as_written(tmp_path: Path) -> None:
    text = HEAD + '# a remark\n[[questions]]\nexercise = "lock_up"\ncount = 2\nweight = 3\ncritical = true\n' + TEXT
    plan = read_plan(plan_of(tmp_path, text))
    assert (plan.title, plan.minutes, plan.pass_percent, plan.out_of) == ("T", 10, 50, 7)
    assert [(one.number, one.kind, one.weight, one.critical) for one in plan.questions] == [
        (1, "quantity", 3, True), (2, "quantity", 3, True), (3, "text", 1, False),
    ]  # fmt: skip
    assert plan.questions[2].rubric == ("1 mark: so",)


@pytest.mark.parametrize(
    ("text", "line", "sentence"),
    [
        (HEAD.replace('"T"', "T") + ONE, 1, "this is no TOML"),
        (HEAD, 3, "a plan needs questions: write [[questions]] above each"),
        (HEAD.replace("title", "titel") + ONE, 1, "'titel' is no setting here; there are title, minutes"),
        (HEAD.replace("10", '"ten"') + ONE, 2, "minutes is a whole number from 1 to 600"),
        (HEAD.replace("50", "101") + ONE, 3, "pass_percent is a whole number from 1 to 100"),
        (HEAD.replace("50", "true") + ONE, 3, "pass_percent is a whole number"),
        (
            HEAD + ONE + ONE.replace("lock_up", "lockup"),
            7,
            "there is no exercise 'lockup'. Nearest to it: lock_up, look_it_up. Papers may ask:",
        ),
        (HEAD + JOB.replace("cause = 5", "cause = -1"), 7, "a job needs marks = { cause = 2, safe = 2"),
        (HEAD + JOB.replace("cause = 5", "cause = true"), 7, "a job needs marks = {"),
        (HEAD + JOB.replace("cause = 5, ", ""), 7, "a job needs marks = {"),
        (HEAD + JOB.replace("honest", "luck"), 7, "a job needs marks = {"),
        (HEAD + JOB.replace("cause = 5", "cause = 99"), 7, "whole numbers, 1 to 100 in all"),
        (HEAD + JOB.replace("{ cause = 5, safe = 2, minutes = 2, honest = 1 }", '"ten"'), 7, "a job needs marks = {"),
        (HEAD + JOB.replace("1.5", "0.5"), 8, "within is a number from 1 to 5"),
        (HEAD + JOB.replace("1.5", "nan"), 8, "within is a number from 1 to 5"),
        (HEAD + JOB.replace("within = 1.5\n", ""), 4, "within is a number from 1 to 5"),
        (HEAD + JOB.replace('"find_it"', "7"), 5, "write job ="),
        (HEAD + JOB.replace('"find_it"', '"500001"'), 5, "name a job question in small letters"),
        (HEAD + JOB + "weight = 10\n", 9, "'weight' is no setting here; there are job, title, critical, marks, within"),
        (HEAD + JOB + 'exercise = "lock_up"\n', 4, "either exercise"),
        (HEAD + ONE.replace("lock_up", "psi_to_bar"), 5, "'psi_to_bar' is for practice only: taking an atmosphere"),
        (HEAD + ONE + "weight = 0\n", 6, "weight is a whole number from 1 to 100"),
        (HEAD + ONE + "critical = 1\n", 6, "critical is true or false"),
        (HEAD + ONE + "count = 101\n", 6, "count is a whole number from 1 to 100"),
        (HEAD + ONE + "count = 60\n" + ONE + "count = 60\n", 7, "a paper asks at most 100 questions"),
        (
            HEAD + TRACE + "count = 10\n",
            6,
            "at most 9 different questions for one paper, and this plan asks 10. Ask 9 or fewer",
        ),
        (HEAD + TRACE + "count = 6\n" + TRACE + "count = 4\n", 9, "'which_trace' has at most 9 different questions"),
        (HEAD + "[[questions]]\nweight = 1\n", 4, "either exercise"),
        (HEAD + ONE + 'text = "a"\n', 4, "either exercise"),
        (HEAD + ONE + 'rubric = ["a"]\n', 6, "'rubric' is no setting here"),
        (HEAD + TEXT.replace('"a"', '"A b"'), 5, "name a text question in small letters"),
        (HEAD + TEXT.replace('["1 mark: so"]', "[]"), 8, "needs rubric"),
        (HEAD + TEXT.replace("model", "answer"), 9, "'answer' is no setting here"),
        (HEAD + TEXT.replace('model = "So."', ""), 4, 'write model = "..." with words in it'),
        (HEAD + TEXT.replace('"So."', '" "'), 9, "write model ="),
        (HEAD + TEXT + "half_marks = 1\n", 10, "half_marks is true or false"),
        (HEAD + TEXT.replace('"Why?"', '""'), 7, "write ask ="),
        (HEAD + TEXT.replace('"Why?"', '"' + "x" * 3001 + '"'), 7, "at most 3000 are allowed"),
        (HEAD + TEXT + "weight = 4\n", 8, "the lines of the rubric give 1 in all, and weight is 4. Make the two agree"),
        (
            HEAD + TEXT.replace('"1 mark: so"', '"2 marks: a", "0.5 mark: b", "c"'),
            8,
            "the rubric's line '0.5 mark: b' gives half a mark, and half_marks = true is missing",
        ),
        (
            HEAD + TEXT.replace('"1 mark: so"', '"2 marks: a", "0.5 mark: b"') + "half_marks = true\n",
            8,
            "rubric give 2.5 in all, and weight is 1",
        ),
        (
            HEAD + TEXT.replace('"1 mark: so"', '"1 mark: so", "says why"') + "weight = 2\n",
            8,
            "the lines of the rubric give 1 in all, and weight is 2",
        ),
        (HEAD + "minutes = 90\n" + ONE, 4, "'minutes' stands in line 2 already. Leave one of the two."),
        (HEAD + "minutes = 90", 4, "'minutes' stands in line 2 already. Leave one of the two."),
        (
            HEAD + ONE + 'exercise = "creep_rate"\n',
            6,
            "'exercise' stands in line 5 already. Leave one of the two. Or did a [[",
        ),
        (HEAD + TEXT + TEXT.partition("\n")[2], 10, "'text' stands in line 5 already."),
        (HEAD + TEXT.replace('"Why?"', '"""\nWhy?\n"""') + 'ask = "x"\n', 12, "'ask' stands in line 7 already."),
        (HEAD + JOB.replace("safe = 2", "cause = 2"), 7, "'cause' stands in these brackets twice. Leave one of them."),
        (
            HEAD + ONE.partition("\n")[2],
            4,
            "'exercise' belongs to a question. Did the [[questions]] line above it get lost?",
        ),
        (HEAD + ONE + JOB.partition("\n")[2], 4, "Did a [[questions]] line get lost between the two?"),
        (HEAD + ONE + "minutes = 5\n", 6, "'minutes' belongs above the first [[questions]]."),
        (HEAD + ONE + "[[question]]\nweight = 1\n", 6, "write [[questions]] above each question: two brackets"),
        (HEAD + "[question]\nweight = 1\n", 4, "write [[questions]] above each question: two brackets"),
        (HEAD + "[questions]\nweight = 1\n", 4, "write [[questions]] above each question: two brackets"),
        (HEAD + "[questions]\nweight = 1\n" * 2, 4, "write [[questions]] above each question: two brackets"),
        (HEAD + ONE + "[questions]\nweight = 1\n", 6, "write [[questions]] above each question: two brackets"),
        (HEAD + ONE + "[[questions]\nweight = 1\n", 6, "write [[questions]] above each question: two brackets"),
        (
            HEAD.replace("minutes = 10\n", "") + ONE,
            2,
            "minutes is missing. Write minutes = 60 above the first [[questions]]",
        ),
        (HEAD.replace("pass_percent = 50\n", "") + ONE, 2, "pass_percent is missing. Write pass_percent = 70 above"),
        (HEAD.replace('title = "T"\n', "") + ONE, 2, 'title is missing: write title = "..." with words in it'),
        (HEAD + TEXT.replace('"So."', '"""So.'), 9, 'the words that begin here do not end. Write """ behind the last'),
        (
            HEAD + ONE + TEXT + TEXT,
            13,
            "two text questions are called 'a', here and in line 6. Give each its own name.",
        ),
        (
            HEAD + JOB + ONE + JOB.replace("find_it", "other"),
            12,
            "a paper has one job at most, for a job takes half an hour. One",
        ),
        (
            HEAD + ONE + ONE + "weight = 1\n",
            7,
            "'lock_up' stands right above, in line 4, with the same settings. Leave one of the two, with count = 2.",
        ),
        (HEAD + (ONE + "count = 3\n") * 2, 8, "Leave one of the two, with count = 6."),
        (HEAD + ONE + "critical = yes\n", 6, "critical is true or false, in small letters and without quotes"),
        (HEAD + TEXT + "half_marks = True  # so\n", 10, "half_marks is true or false, in small letters"),
        (HEAD.replace('"T"', '"<b>T</b>"') + ONE, 1, "title holds <, which pages and notebooks take for more"),
        (HEAD.replace('"T"', '"T\\nU"') + ONE, 1, "title has more lines than one"),
        (HEAD + TEXT.replace('"A"', '"A | B"'), 6, "title holds |"),
        (HEAD + TEXT.replace('"Why?"', '"[x](javascript:alert(1))"'), 7, "ask holds [, which"),
        (HEAD + TEXT.replace('"Why?"', "'$\\href{javascript:alert(1)}{x}$'"), 7, "ask holds $, which"),
        (HEAD + TEXT.replace('"Why?"', '"\\u001b[31m"'), 7, "ask holds a sign that nobody sees, U+001B. Take it out"),
        (HEAD + TEXT.replace('"Why?"', '"a\\u202eb"'), 7, "ask holds a sign that nobody sees, U+202E"),
        (HEAD + TEXT.replace("1 mark: so", "1 mark: IP < 9"), 8, "rubric holds <, which"),
        (HEAD + TEXT.replace('"So."', '"`So`"'), 9, "model holds `, which"),
        (HEAD + JOB.replace('"Find it"', '"Find <it>"'), 6, "title holds <"),
        (
            HEAD + TEXT.replace('"Why?"', '"""\nweight = 9\n[[questions]]\n"""') + "weight = 0\n",
            13,
            "weight is a whole",
        ),
    ],
)
def test_what_is_wrong_is_said_by_line(tmp_path: Path, text: str, line: int, sentence: str) -> None:
    with pytest.raises(PlanError) as refused:
        read_plan(plan_of(tmp_path, text))
    assert str(refused.value).startswith(f"some-paper.toml, line {line}: ") and sentence in str(refused.value)
    assert "\n" not in str(refused.value) or "there is no exercise" in sentence


def test_as_many_as_a_plan_may_ask_are_drawn_for_everybody(tmp_path: Path) -> None:
    """`which_trace` shows nine things; every candidate can be given all of them, and none is refused halfway."""
    plan = read_plan(plan_of(tmp_path, HEAD + TRACE + "count = 9\n"))
    for candidate in range(30):
        items = paper_for(plan, CohortKey(bytes(32)), str(candidate)).items
        assert len({exercise_named(one.exercise).solve(dict(one.givens)) for one in items}) == 9


def test_the_plan_that_the_guide_shows_can_be_used(tmp_path: Path) -> None:
    book = notebooks.read(places.lessons() / "instructor" / "assessor.ipynb")
    [cell] = [text for one in book["cells"] if "```toml" in (text := "".join(one["source"]))]
    name = re.findall(r"`([a-z-]+\.toml)`", cell)[0]
    plan = read_plan(plan_of(tmp_path, cell.partition("```toml\n")[2].partition("```")[0], name))
    assert f'--paper "{plan.name.replace("-", " ")}"' in cell and [one.weight for one in plan.questions] == [1, 2]
    assert len(specimen_of(plan).items) == 2


def test_a_job_is_read_as_written(tmp_path: Path) -> None:
    [planned] = read_plan(plan_of(tmp_path, HEAD + JOB + "critical = true\n")).questions
    assert (planned.kind, planned.weight, planned.critical) == ("job", 10, True)
    assert planned.scheme == Scheme(5, 2, 2, 1, 1.5)
    with pytest.raises(PlanError, match="a paper has one job at most"):
        read_plan(plan_of(tmp_path, HEAD + JOB + JOB))


def test_one_exercise_at_two_places_asks_two_things(tmp_path: Path) -> None:
    plan = read_plan(plan_of(tmp_path, HEAD + ONE + TEXT + ONE))
    for candidate in range(10):
        first, _, second = paper_for(plan, CohortKey(bytes(32)), str(candidate)).items
        assert first.exercise == second.exercise == "lock_up" and dict(first.givens) != dict(second.givens)


OF_LATE = (
    '"1 mark each: time, rise, unit, gauge"', '"4 marks: so", "Spelling does not count."',
    '"4 marks: so", "Deduct 1 mark for a promise."', '"3 marks: so", "b (1 mark, critical)"', '"(4 marks, critical) a"',
    '"3 marks: so", "b (1 mark)!"', '"3 marks (max): so", "1 mark (max.): b"', '"2 marks: a", "1-2 marks: b"',
    '"2 marks: a", "1 mark for rise and 1 mark for time"', '"2 marks: a", "-1 mark: b"', '"3 marks: a", "1 mark off"',
    '"1 mark: a, b, c, d each"', '"1 mark for a step, up to 4"', '"Total: 4 marks", "2 marks: a", "2 marks: b"',
    '"No marks for luck", "says why"', '"2 marks: a", "another mark: b", "a mark for c"', '"3 marks: a", "b (1)"',
    '"4 marks: a", "or b (4 marks)"',
)  # fmt: skip
"""Lines of plans that loaded before marks were read; each may be worth 4."""


def test_a_rubric_that_gives_no_marks_or_all_of_them_is_taken(tmp_path: Path) -> None:
    for rubric in (
        '"says why"',
        *OF_LATE,
        '"1 mark: a", "1.5 marks: b", "Half a mark: c", "1 mark: d", "no marks for luck"',
    ):
        text = HEAD + TEXT.replace('"1 mark: so"', rubric) + "weight = 4\nhalf_marks = true\n"
        assert read_plan(plan_of(tmp_path, text)).out_of == 4


@pytest.mark.parametrize(
    ("rubric", "weight"),
    [
        ('"a (1 mark)", "b (2 marks)."', 3), ('"1 point: a", "2 points: b"', 3), ('"up to 3 marks: a"', 3),
        ('"½ mark: a", "1/2 mark: b"', 1), ('"Half mark: a", "half a mark: b"', 1), ('"1½ marks: a", "1 1/2 marks: b"', 3),
        ('"One mark: a", "two marks: b", "A mark: c"', 4), ('"(1 mark) a", "b: 0,5 mark", "0.5 mark - c"', 2),
        ('"1 mark for a", "No marks for luck"', 1), ('"1 mark (max): a", "b (1 mark, critical)", "c (1 mark)!", "so it is"', 3), ('"names the mark on the seat"', 9),
        ('"A mark on the seat is named", "its 3 points are told"', 9),
    ],
)  # fmt: skip
def test_marks_are_read_as_people_write_them(tmp_path: Path, rubric: str, weight: int) -> None:
    says_none = weight == 9
    for another in (weight, weight + 1):
        text = HEAD + TEXT.replace('"1 mark: so"', rubric) + f"weight = {another}\nhalf_marks = true\n"
        if says_none or another == weight:
            assert read_plan(plan_of(tmp_path, text)).out_of == another
            continue
        with pytest.raises(PlanError, match=f"give {weight} in all, and weight is {another}"):
            read_plan(plan_of(tmp_path, text))
    halves = HEAD + TEXT.replace('"1 mark: so"', rubric) + f"weight = {weight}\n"
    if re.search("½|/2|[Hh]alf|[.,]5", rubric):
        with pytest.raises(PlanError, match="half_marks = true is missing"):
            read_plan(plan_of(tmp_path, halves))
    else:
        assert read_plan(plan_of(tmp_path, halves)).out_of == weight


@pytest.mark.parametrize(
    "line",
    ["1/3 mark: a", "a (0.3 mark)", "1,25 marks: a"],
)
def test_marks_that_nobody_can_give_are_refused_by_their_line(tmp_path: Path, line: str) -> None:
    text = HEAD + TEXT.replace('"1 mark: so"', f'"1 mark: so", "{line}"') + "half_marks = true\n"
    with pytest.raises(PlanError, match=re.escape(f"the rubric's line '{line}'")):
        read_plan(plan_of(tmp_path, text))


def test_whoever_names_no_exercise_gets_a_list_to_choose_from(tmp_path: Path) -> None:
    with pytest.raises(PlanError) as refused:
        read_plan(plan_of(tmp_path, HEAD + ONE.replace("lock_up", "strange")))
    first, *listed = str(refused.value).splitlines()
    assert first == "some-paper.toml, line 5: there is no exercise 'strange'. Papers may ask:"
    admitted = [one for _, one in known_exercises() if not why_not(one)]
    assert [line.split()[0] for line in listed] == [one.name for one in admitted]
    assert all(re.fullmatch(r"  \S+ +[a-z, ]+ (lesson \d+b?|papers alone) +\S.*", line) for line in listed)
    assert any(re.fullmatch(r"  lock_up +a quantity +lesson 02 +Where it locks up", line) for line in listed), listed
    assert all(one.title in line for one, line in zip(admitted, listed, strict=True))


def test_a_plan_under_another_name_is_said_how_to_call_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plan_file, "plans_folder", lambda: tmp_path)
    for name in ("My_Test.toml", "short.toml", "Ü.toml"):
        plan_of(tmp_path, HEAD + ONE, name)
    assert plan_names() == ["short"]
    for words in ("My_Test", "my test", "my-test", "MY_TEST"):
        with pytest.raises(PlanError, match=r"^My_Test\.toml: name the file in small letters, .*: my-test\.toml\.$"):
            load_plan(words)
    with pytest.raises(PlanError, match=r"^Ü\.toml: name the file in small letters, .*: my-paper\.toml\.$"):
        load_plan("Ü")
    for words in ("another", "", "!"):
        with pytest.raises(PlanError, match=r"There is no paper '.*'; there is \"short\"\."):
            load_plan(words)


def test_other_refusals(tmp_path: Path) -> None:
    with pytest.raises(PlanError, match="two text questions are called 'a'"):
        read_plan(plan_of(tmp_path, HEAD + TEXT + TEXT))
    with pytest.raises(PlanError, match="name the file in small letters, its words joined by hyphens"):
        read_plan(plan_of(tmp_path, HEAD + ONE, "Some Paper.toml"))
    with pytest.raises(PlanError, match=r"There is no paper '\.\./secret'; there is \""):
        load_plan("../secret")
