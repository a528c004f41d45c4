"""Reading the plan of a paper: what a course team writes in `lessons/papers/NAME.toml`, checked line by line.

title = "Units and bands"
minutes = 60
pass_percent = 70

[[questions]]
exercise = "mpa_to_psi"
count = 2               # two of them, with different numbers; left out, one
weight = 1              # marks for each; left out, one
critical = true         # one miss holds the whole result back; left out, false

[[questions]]
text = "customer"       # a short answer that a person reads and marks
title = "What you tell the customer"
ask = "..."
weight = 4
half_marks = true       # a person may give half marks; left out, whole ones alone
rubric = ["1 mark: ...", "1 mark: ..."]   # the marks that the lines give, in all, are the weight
model = "..."           # an answer that earns all of it

[[questions]]
job = "find_the_cause"  # a mystery job that the candidate plays, drawn from jobs that are as hard as one another
title = "A regulator with something hidden"
marks = { cause = 4, safe = 2, minutes = 2, honest = 2 }   # job_rubric.py says for what; their sum is the weight
within = 1.5            # minutes count in full up to so many times the 36 that the advice takes at most
critical = true         # a critical failure, or a job not ended, holds the whole result back
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from steadyneedle.assessing.difficulty import why_not
from steadyneedle.assessing.drawn import most_different
from steadyneedle.assessing.exercise_list import known_exercises, no_such_exercise
from steadyneedle.assessing.job_rubric import PARTS, WIDEST_WITHIN, scheme_of
from steadyneedle.assessing.paper_plan import (
    JOB,
    TEXT,
    PaperPlan,
    PlanError,
    Planned,
    exercise_named,
    kind_of,
    paper_name,
)
from steadyneedle.assessing.plan_words import HEADER, called, lines_of, why_no_toml, why_not_shown
from steadyneedle.assessing.rubric_marks import why_not_rubric
from steadyneedle.foundation import places
from steadyneedle.foundation.text_files import TextFileError, printable, read_file
from steadyneedle.questions.exercise import Exercise

MOST_QUESTIONS, MOST_MARKS, MOST_MINUTES, LONGEST_ASK = 100, 100, 600, 3000
LARGEST_PLAN = 1_000_000
NAME_IT = "name the file in small letters, its words joined by hyphens: {}.toml."
HEAD = ("title", "minutes", "pass_percent", "questions")
EXAMPLES = {"minutes": 60, "pass_percent": 70}
OF_ONE = {"count": 1, "weight": 1, "critical": False}
"""What an exercise has where nothing is said."""
OF_EXERCISE = ("exercise", "count", "weight", "critical")
OF_TEXT = ("text", "title", "ask", "weight", "critical", "half_marks", "rubric", "model")
OF_JOB = ("job", "title", "critical", "marks", "within")


def plans_folder() -> Path:
    """Folder of the plans as shipped."""
    return places.lessons() / "papers"


def plan_names() -> list[str]:
    """Names of the papers there are; a file that is called otherwise is none."""
    return sorted(path.stem for path in plans_folder().glob("*.toml") if path.stem == called(path.stem))


def load_plan(words: str) -> PaperPlan:
    """The plan of a paper by its name, in words or as files carry it.

    Raises
    ------
    PlanError
        There is no such paper, or its plan is wrong.

    Examples
    --------
    >>> len(load_plan("units and bands").questions)
    20
    """
    name = paper_name(words)
    if name not in plan_names():
        for odd in sorted(one.stem for one in plans_folder().glob("*.toml") if one.stem != called(one.stem)):
            if {paper_name(odd), called(odd)} & {name, called(words)} - {""}:
                raise PlanError(f"{printable(odd)}.toml: {NAME_IT.format(called(odd) or 'my-paper')}")
        there = ", ".join(f'"{one.replace("-", " ")}"' for one in plan_names())
        raise PlanError(f"There is no paper '{printable(words)}'; there is {there}.")
    return read_plan(plans_folder() / f"{name}.toml")


def read_plan(path: Path) -> PaperPlan:
    """The plan that a file holds.

    Raises
    ------
    PlanError
        The file is no plan; the sentence names the line.
    """
    try:
        text = read_file(path, LARGEST_PLAN).text
        content = tomllib.loads(text)
    except TextFileError as error:
        raise PlanError(str(error)) from None
    except tomllib.TOMLDecodeError as error:
        line, sentence = why_no_toml(text, str(error))
        raise PlanError(f"{path.name}{f', line {line}' if line else ''}: {sentence}") from None
    return _Checked(path.name, lines_of(text), content).plan(path.stem)


@dataclass
class _Checked:
    """A plan on its way from TOML: every setting is checked, and its line named where it is wrong."""

    file: str
    lines: dict[tuple[int, str], int]
    content: dict[str, Any]
    asked: dict[str, int] = field(default_factory=dict)

    def plan(self, name: str) -> PaperPlan:
        if name != called(name):
            raise PlanError(f"{self.file}: {NAME_IT.format(called(name) or 'my-paper')}")
        strange = next((name for name in ("question", "questions") if isinstance(self.content.get(name), dict)), "")
        if strange or isinstance(self.content.get("question"), list):
            raise self.wrong(0, strange or "question", HEADER)
        self.known(0, self.content, HEAD)
        listed = self.content.get("questions")
        if not isinstance(listed, list) or not listed or not all(isinstance(one, dict) for one in listed):
            raise self.wrong(0, "questions", "a plan needs questions: write [[questions]] above each.")
        questions: list[Planned] = []
        for at, one in enumerate(listed, 1):
            questions += self.planned(at, one, len(questions))
            if len(questions) > MOST_QUESTIONS:
                raise self.wrong(at, "", f"a paper asks at most {MOST_QUESTIONS} questions.")
            self.once(at, one, listed[: at - 1])
        return PaperPlan(
            name, self.shown(0, self.content, "title", 80), self.whole(0, self.content, "minutes", 1, MOST_MINUTES),
            self.whole(0, self.content, "pass_percent", 1, 100), tuple(questions),
        )  # fmt: skip

    def planned(self, at: int, one: dict[str, Any], before: int) -> list[Planned]:
        """The questions that one entry plans."""
        named = [name for name in ("exercise", "text", "job") if name in one]
        if len(named) != 1:
            lost = " Did a [[questions]] line get lost between the two?" if named else ""
            raise self.wrong(at, "", f'a question needs either exercise = "..." or text = "..." or job = "...".{lost}')
        self.known(at, one, {"exercise": OF_EXERCISE, "text": OF_TEXT, "job": OF_JOB}[named[0]])
        weight = self.whole(at, one, "weight", 1, MOST_MARKS, 1)
        critical = self.yes_or_no(at, one, "critical")
        if "text" in one:
            return [self.text(at, one, Planned(before + 1, TEXT, "", weight, critical))]
        if "job" in one:
            return [self.job(at, one, before + 1, critical)]
        exercise = self.exercise(at, one)
        kind = kind_of(exercise)
        count = self.whole(at, one, "count", 1, MOST_QUESTIONS, 1)
        self.different(at, exercise, count)
        return [Planned(before + n, kind, exercise.name, weight, critical, exercise.title) for n in range(1, count + 1)]

    def different(self, at: int, exercise: Exercise, count: int) -> None:
        """Refuse more questions of one exercise than there are different ones."""
        asked = self.asked[exercise.name] = self.asked.get(exercise.name, 0) + count
        most = most_different(exercise, min(asked, MOST_QUESTIONS)) if asked > 1 else 1
        if most < min(asked, MOST_QUESTIONS):
            said = f"'{exercise.name}' has at most {most} different questions for one paper, and this plan asks {asked}"
            raise self.wrong(at, "count", f"{said}. Ask {most} or fewer.")

    def once(self, at: int, one: dict[str, Any], before: list[dict[str, Any]]) -> None:
        """Refuse what a paper asks once: a job, a text of one name, an exercise right after itself."""
        name, line = str(one.get("exercise")), self.lines.get
        for earlier, other in enumerate(before, 1):
            there = f"line {line((earlier, ''), 1)}"
            if "job" in one and "job" in other:
                said = (
                    f"a paper has one job at most, for a job takes half an hour. One stands in {there}: leave one out."
                )
                raise self.wrong(at, "job", said)
            if "text" in one and one["text"].strip() == str(other.get("text", "")).strip():
                said = f"two text questions are called '{one['text']}', here and in {there}. Give each its own name."
                raise self.wrong(at, "text", said)
            if "exercise" in one and earlier == len(before) and {**OF_ONE, **one} == {**OF_ONE, **other}:
                count = 2 * one.get("count", 1)
                said = f"'{name}' stands right above, in {there}, with the same settings. Leave one of the two"
                raise self.wrong(at, "exercise", f"{said}, with count = {count}.")

    def exercise(self, at: int, one: dict[str, Any]) -> Exercise:
        name = self.words(at, one, "exercise", 60)
        if name not in [each.name for _, each in known_exercises()]:
            raise self.wrong(at, "exercise", no_such_exercise(name))
        exercise = exercise_named(name)
        if why_not(exercise):
            raise self.wrong(at, "exercise", f"'{name}' is for practice only: {why_not(exercise)}. Ask another.")
        return exercise

    def text(self, at: int, one: dict[str, Any], planned: Planned) -> Planned:
        name = self.small(at, one, "text", "customer")
        rubric = one.get("rubric")
        if not isinstance(rubric, list) or not rubric or not all(isinstance(x, str) and x.strip() for x in rubric):
            raise self.wrong(
                at, "rubric", 'a text question needs rubric = ["1 mark: ...", "..."] for whoever marks it.'
            )
        self.plain(at, "rubric", "\n".join(rubric))
        half_marks = self.yes_or_no(at, one, "half_marks")
        why = why_not_rubric(rubric, planned.weight, half_marks)
        if why:
            raise self.wrong(at, "rubric", why)
        return Planned(
            planned.number, TEXT, name, planned.weight, planned.critical, self.shown(at, one, "title", 80),
            self.shown(at, one, "ask", LONGEST_ASK), tuple(line.strip() for line in rubric),
            tuple(filter(None, self.shown(at, one, "model", LONGEST_ASK).splitlines())),
            half_marks,
        )  # fmt: skip

    def job(self, at: int, one: dict[str, Any], number: int, critical: bool) -> Planned:
        name, title = self.small(at, one, "job", "find_the_cause"), self.shown(at, one, "title", 80)
        if scheme_of(one.get("marks"), 1) is None:
            parts = ", ".join(f"{part} = 2" for part in PARTS)
            raise self.wrong(
                at, "marks", f"a job needs marks = {{ {parts} }}: whole numbers, 1 to {MOST_MARKS} in all."
            )
        scheme = scheme_of(one["marks"], one.get("within"))
        if scheme is None:
            raise self.wrong(at, "within", f"within is a number from 1 to {WIDEST_WITHIN}, for example 1.5.")
        return Planned(number, JOB, name, scheme.out_of, critical, title, rubric=scheme.lines(), scheme=scheme)

    def small(self, at: int, one: dict[str, Any], setting: str, example: str) -> str:
        """A name in small letters."""
        name = self.words(at, one, setting, 40)
        if not re.fullmatch("[a-z][a-z0-9_]*", name):
            raise self.wrong(
                at, setting, f'name a {setting} question in small letters, for example {setting} = "{example}".'
            )
        return name

    def known(self, at: int, table: dict[str, Any], names: tuple[str, ...]) -> None:
        strange = next((name for name in table if name not in names), None)
        if strange is None:
            return
        if at == 0 and strange in (*OF_EXERCISE, *OF_TEXT, *OF_JOB):
            lost = f"'{strange}' belongs to a question. Did the [[questions]] line above it get lost?"
            raise self.wrong(at, strange, lost)
        if at and strange in ("minutes", "pass_percent"):
            raise self.wrong(at, strange, f"'{strange}' belongs above the first [[questions]].")
        raise self.wrong(at, strange, f"'{printable(strange)}' is no setting here; there are {', '.join(names)}.")

    def words(self, at: int, table: dict[str, Any], name: str, longest: int) -> str:
        value = table.get(name)
        if not isinstance(value, str) or not value.strip():
            missing = "" if name in table else f"{name} is missing: "
            raise self.wrong(at, name, f'{missing}write {name} = "..." with words in it.')
        if len(value) > longest:
            raise self.wrong(at, name, f"{name} has {len(value)} characters; at most {longest} are allowed.")
        return value.strip()

    def shown(self, at: int, table: dict[str, Any], name: str, longest: int) -> str:
        """Words that candidates or markers read."""
        value = self.words(at, table, name, longest)
        self.plain(at, name, value)
        return value

    def plain(self, at: int, name: str, value: str) -> None:
        why = why_not_shown(value, lines=name != "title")
        if why:
            raise self.wrong(at, name, f"{name} {why}.")

    def yes_or_no(self, at: int, table: dict[str, Any], name: str) -> bool:
        value = table.get(name, False)
        if not isinstance(value, bool):
            raise self.wrong(at, name, f"{name} is true or false, without quotes.")
        return value

    def whole(self, at: int, table: dict[str, Any], name: str, low: int, high: int, usual: int | None = None) -> int:
        value = table.get(name, usual)
        if value is None:
            said = (
                f"{name} is missing. Write {name} = {EXAMPLES[name]} above the first [[questions]], or another number."
            )
            raise self.wrong(at, name, said)
        if type(value) is not int or not low <= value <= high:
            raise self.wrong(at, name, f"{name} is a whole number from {low} to {high}, without quotes.")
        return value

    def wrong(self, at: int, name: str, sentence: str) -> PlanError:
        """The refusal of a setting, by its line; by the nearest where it has none."""
        line = self.lines.get((at, name), self.lines.get((at, ""), 1))
        if at == 0 and name not in self.content:
            line = max(number for (question, _), number in self.lines.items() if question == 0)
        return PlanError(f"{self.file}, line {line}: {sentence}")
