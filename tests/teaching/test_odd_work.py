"""A learner's file that somebody edited or a program spoilt: every form opens, and nothing that was in it is lost.

The file that version 0.1.0 wrote is spoilt at one to four places, by values that JSON allows and by some that it does
not; then every kind of form is opened, typed in and pressed. A budget of examples in CI, many more under `-m long`.
"""

from __future__ import annotations

import codecs
import json
import os
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from steadyneedle.bench.cleaning import BestPlan
from steadyneedle.bench.sheets import load_sheets
from steadyneedle.foundation import places
from steadyneedle.foundation.plain_json import read_plain
from steadyneedle.foundation.store import StoreError
from steadyneedle.jobs.under_test import SURPRISE, UnderTest
from steadyneedle.questions.plans import plan_of
from steadyneedle.teaching.frame.form import FormSession, Picture
from steadyneedle.teaching.frame.forms import FormWidget
from steadyneedle.teaching.learner import kept as learner_kept
from steadyneedle.teaching.learner.bookmark import KEY, Bookmark, ground_of, last_lesson
from steadyneedle.teaching.learner.choices import PreferencesSession
from steadyneedle.teaching.learner.hidden_fault import HiddenFaultSession
from steadyneedle.teaching.learner.job_form import JobSession
from steadyneedle.teaching.learner.own_plan import OwnPlanSession
from steadyneedle.teaching.learner.own_reading import OwnReadingSession
from steadyneedle.teaching.learner.own_table import OwnTable
from steadyneedle.teaching.learner.practice import PracticeSession
from steadyneedle.teaching.learner.predictions import PredictionSession, SeriesSession
from steadyneedle.teaching.learner.progress import FILE, Progress
from steadyneedle.teaching.learner.record import Record
from steadyneedle.teaching.panels.cleaning_plan import SETS, as_said

KEPT = (Path(__file__).parent / "data" / "my-work-0.1.0.json").read_bytes()
SHEETS = load_sheets(places.datasets() / "sheets")
READING = ("lessons", "03", "own reading")
LOG = ("lessons", "04", "own log")
OWN_PLAN = ("lessons", "05", "own plan")
QUANTITY = ("lessons", "01", "exercises", plan_of("01").exercises[0].name)
CHOICE = ("lessons", "02", "exercises", next(one.name for one in plan_of("02").exercises if hasattr(one, "options")))
PREDICTION = ("lessons", "01", "predictions", plan_of("01").predictions[0].name)
SERIES = ("lessons", "04", "predictions", "nine_traces")
HIDDEN = ("lessons", "04", "predictions", "hidden_fault")
TABLES = (
    (QUANTITY, learner_kept.PRACTICE), (CHOICE, learner_kept.PRACTICE), (PREDICTION, learner_kept.PREDICTION),
    (SERIES, learner_kept.SERIES), (HIDDEN, learner_kept.HIDDEN_FAULT), (READING, learner_kept.READING),
    (LOG, learner_kept.LOG), (OWN_PLAN, learner_kept.PLAN), (("choices",), learner_kept.CHOICES), ((KEY,), learner_kept.PAGE),
    (("mystery jobs", "form"), learner_kept.JOBS), (("mystery jobs", "4"), learner_kept.JOB),
)  # fmt: skip
DEEP = "[" * 100_000 + "]" * 100_000
IN_MEMORY = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
"""Each case saves some forty times: on a disk most of its time is spent waiting until that is flushed."""


def paths_in(value: Any, above: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Where there is a value that can be spoilt."""
    if above:
        yield above
    if isinstance(value, dict | list):
        items = value.items() if isinstance(value, dict) else enumerate(value)
        for key, one in items:
            yield from paths_in(one, (*above, key))


def place_in(content: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        content = content[key]
    return content


BEFORE = json.loads(KEPT)
OURS = (QUANTITY, CHOICE, PREDICTION)
MET = [path for path in paths_in(BEFORE) if any(path[: len(keys)] == keys[: len(path)] for keys in OURS)]
FIELDS = [(*keys, field) for keys, fields in TABLES for field in fields]

json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=5,
).map(json.dumps)  # writes NaN and halves of surrogate pairs too
odd_values = st.sampled_from(
    ['{"1": {"said": 7}}', '{"1": {"said": "locks"}, "x": {"said": "y"}}', "NaN", "-Infinity", "1e999", "9" * 5000, "1e30", '"x"', '"two"', '"\\ud800"', "[[]]", "{}", "null", "true", "-1",
     "1.5", '"' + "a" * 5000 + '"', "[" * 200 + "]" * 200]
)  # fmt: skip
spoilt_files = st.fixed_dictionaries({
    "places": st.lists(st.tuples(st.sampled_from(MET + FIELDS * 2), json_values | odd_values), min_size=1, max_size=4),
    "mark": st.booleans(), "twice": st.booleans(),
})  # fmt: skip


def spoilt(places: list[tuple[tuple[Any, ...], str]], mark: bool = False, twice: bool = False) -> bytes:
    """The kept file with those values in those places; with a byte-order mark; with names that stand twice."""
    content = json.loads(KEPT)
    raw = {}
    for number, (path, value) in enumerate(places):
        above = content
        for key in path[:-1]:
            if isinstance(above, dict) and not isinstance(above.get(key), dict | list):
                above[key] = {}
            above = above[key] if not isinstance(above, list) or key < len(above) else {}
        if isinstance(above, dict) or (isinstance(above, list) and path[-1] < len(above)):
            above[path[-1]] = f"@@{number}@@"
            raw[f'"@@{number}@@"'] = value
    text = json.dumps(content)
    for token, value in raw.items():
        text = text.replace(token, value)
    if twice:
        text = text.replace('"attempt": ', '"attempt": 7, "attempt": ')
    return (codecs.BOM_UTF8 if mark else b"") + text.encode("utf-8", errors="surrogatepass")


class Surprise:
    """A bench on which something is hidden."""

    def on_the_bench(self) -> UnderTest:
        return UnderTest(fault=SURPRISE)

    def tell(self, on: bool) -> None:
        pass


def forms(progress: Progress) -> list[FormSession]:
    return [
        *(PracticeSession(plan_of(keys[1]).exercise(keys[3]), progress, keys, "Exercise") for keys in (QUANTITY, CHOICE)),
        PredictionSession(plan_of("01").prediction(PREDICTION[3]), progress, PREDICTION),
        PreferencesSession(progress), OwnReadingSession(SHEETS, progress, READING),
        SeriesSession(plan_of("04").prediction("nine_traces"), progress, SERIES, lambda number, _: Picture(b"", f"{number}", 0)),
        HiddenFaultSession(plan_of("04").prediction("hidden_fault"), Surprise(), progress, HIDDEN), JobSession(progress),
        OwnPlanSession(SETS, as_said, lambda _: BestPlan(None, "none."), progress, OWN_PLAN),
    ]  # fmt: skip


def sent(session: FormSession) -> str:
    """The form as it goes to the page; raises where a message could not hold it."""
    text = json.dumps(session.view().wire(), ensure_ascii=False, allow_nan=False)
    text.encode("utf-8")
    return text


def kept_in(folder: Path) -> list[bytes]:
    return [path.read_bytes() for path in folder.iterdir() if ".damaged-" in path.name]


def leaves(value: Any) -> dict[tuple[Any, ...], Any]:
    """What stands where, but for what the forms themselves write, and what stands in the place of their entries."""
    ours = [keys for keys, _ in TABLES]
    taken = [
        above for keys in ours for above in above_and(keys) if above == keys or not isinstance(at(value, above), dict)
    ]
    return {
        path: one for path in paths_in(value)
        if not isinstance(one := place_in(value, path), dict | list) and not any(path[: len(above)] == above for above in taken)
    }  # fmt: skip


def above_and(keys: tuple[str, ...]) -> list[tuple[str, ...]]:
    """An entry's place and all above it."""
    return [keys[:n] for n in range(1, len(keys) + 1)]


def open_and_use(data: bytes) -> None:
    """Every form opens on that file, and is used; what was there is there, or set aside as it was."""
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as name:
        folder = Path(name)
        (folder / FILE).write_bytes(data)
        progress = Progress(folder)
        record = Record(progress.content(), "2026-03-02")
        for number in ("00", "01", "02", "03"):
            assert len(list(record.standings(plan_of(number)))) == len(plan_of(number).objectives)
            assert record.due(number) is not None
        assert isinstance(last_lesson(progress), str) and ground_of(progress) in ("light", "dark")
        first = [sent(session) for session in forms(progress)]
        assert kept_in(folder) in ([], [data]), "only what cannot be read at all is moved before anything is written"
        for session in forms(Progress(folder)):
            for button in session.view().buttons:
                session.typed({"answer": "9,8 bar", "sheet": "Juniper", "decimal": "either", "first": "bar"})
                session.act(button.name, {"answer": "9,8 bar", "prediction": "locks", "sure": "guess"})
                sent(session)
        Bookmark(progress, "03").keep({"cell": "x", "offset": 1.5, "text": 2})
        own = OwnTable(progress, LOG)
        assert own.kept() is not None and own.keep({"table": "0,9.8"}) == "Saved" and own.kept()["table"] == "0,9.8"
        assert last_lesson(progress) == "03" and ground_of(progress) in ("light", "dark")
        after = json.loads((folder / FILE).read_bytes(), parse_constant=pytest.fail)
        aside = kept_in(folder)
        assert len(first) == 9
        assert_nothing_lost(data, after, aside)


def assert_nothing_lost(data: bytes, after: Any, aside: list[bytes]) -> None:
    """The file as it was is kept where JSON itself was odd; else each odd field, and all that no form of ours writes."""
    if data in aside:
        return
    before = json.loads(data.decode("utf-8-sig"))
    assert read_plain(data) == (before, set()), "JSON that cannot be written again is kept before anything is written"
    there = leaves(after)
    assert {path: one for path, one in leaves(before).items() if there.get(path, pytest) != one} == {}
    kept = [after, *map(json.loads, aside)]
    for keys, fields in TABLES:
        for above in above_and(keys):
            entry = at(before, above)
            if isinstance(entry, dict):
                odd = {name: entry[name] for name in learner_kept.odd_in(entry, fields)} if above == keys else {}
                assert all(
                    any((at(one, keys) or {}).get(name, pytest) == value for one in kept) for name, value in odd.items()
                )
            elif entry is not None:
                assert any(at(one, above) == entry for one in kept), above


def at(content: Any, path: tuple[Any, ...]) -> Any:
    """What stands there; None where nothing does."""
    for key in path:
        content = content.get(key) if isinstance(content, dict) else None
    return content


@settings(max_examples=20)
@given(spoilt_files)
@example({"places": [((*QUANTITY, "attempt"), '"x"'), ((*QUANTITY, "hints"), '"two"')], "mark": False, "twice": False})
@example({"places": [((*QUANTITY, "attempt"), "NaN"), ((*CHOICE, "tries"), "{}")], "mark": True, "twice": True})
@example(
    {"places": [((*CHOICE, "typed"), '"\\ud800"'), ((*PREDICTION, "earlier"), "7")], "mark": False, "twice": False}
)
@example({"places": [(("lessons",), DEEP)], "mark": False, "twice": False})
@example({"places": [(("version",), '"one"'), (("lessons", "01"), "[]")], "mark": False, "twice": False})
def test_no_odd_file_breaks_a_form_or_is_lost(file: dict[str, Any]) -> None:
    open_and_use(spoilt(**file))


@pytest.mark.long
@settings(max_examples=3000)
@given(spoilt_files)
def test_three_thousand_odd_files(file: dict[str, Any]) -> None:
    open_and_use(spoilt(**file))


@settings(max_examples=60)
@given(st.binary(max_size=60))
@example(b"")
@example(b"[" * 100_000)
@example(b"NaN")
@example(b'"only words"')
@example(codecs.BOM_UTF8)
def test_what_is_no_work_at_all_is_set_aside(data: bytes) -> None:
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as name:
        (Path(name) / FILE).write_bytes(data)
        progress = Progress(Path(name))
        for session in forms(progress):
            sent(session)
        assert kept_in(Path(name)) == [data]
        assert "Your earlier work could not be read. It is kept as my-work.damaged-" in progress.trouble()


def test_a_file_of_gigabytes_is_not_read(work: Path) -> None:
    with (work / FILE).open("wb") as file:
        file.truncate(10**10)
    words = "Not saved: my-work.json is larger than 50 MB. Give it another name."
    progress = Progress(work)
    assert progress.trouble() == words and progress.look() == words and len(forms(progress)) == 9
    with pytest.raises(StoreError, match=words), progress.change("a"):
        pass
    assert (work / FILE).stat().st_size == 10**10


def test_nothing_set_aside_is_overwritten(work: Path) -> None:
    """Spoilt many times in one second: as many files are kept."""
    damages = [b"{" + b" " * number for number in range(7)]
    for data in damages:
        (work / FILE).write_bytes(data)
        Progress(work).trouble()
    assert sorted(kept_in(work)) == sorted(damages)


def test_what_was_set_aside_is_named_in_every_form(work: Path) -> None:
    (work / FILE).write_bytes(spoilt([((*QUANTITY, "attempt"), '"x"')]))
    progress = Progress(work)
    assert progress.trouble() == ""
    forms(progress)[0].act("new", {})
    (aside,) = (path.name for path in work.iterdir() if ".damaged-" in path.name)
    assert progress.trouble() == f"Some of your earlier work could not be read. It is kept as {aside}."


def test_half_a_pair_of_surrogates_from_the_page_is_saved_as_a_question_mark(work: Path) -> None:
    session = forms(Progress(work))[0]
    widget = FormWidget(session)
    widget._heard(widget, {"what": "act", "button": "check", "answers": {"answer": "9\ud8008"}}, [])
    assert widget.saved["words"] == "Saved" and "9?8" in sent(session)


@pytest.mark.skipif(os.name != "posix", reason="modes and links as POSIX has them")
def test_the_umask_is_kept_and_no_link_is_written_through(work: Path) -> None:
    command = "import os, sys; os.umask(0o077); from steadyneedle.teaching.learner.progress import Progress\nwith Progress().change('a') as a: a['b'] = 1"
    environment = {**os.environ, places.WORK_VARIABLE: str(work)}
    subprocess.run([sys.executable, "-c", command], env=environment, check=True)
    assert (work / FILE).stat().st_mode & 0o777 == 0o600
    (work / FILE).rename(work / "elsewhere.json")
    before = (work / "elsewhere.json").read_bytes()
    (work / FILE).symlink_to(work / "elsewhere.json")
    with pytest.raises(StoreError, match=r"Not saved: my-work.json is a link\. Put the file itself in its place\."):
        forms(Progress(work))[0].act("check", {"answer": "1 bar"})
    assert (work / "elsewhere.json").read_bytes() == before and (work / FILE).is_symlink()
    (work / FILE).unlink()
    (work / f".{FILE}.lock").unlink(missing_ok=True)
    (work / f".{FILE}.lock").symlink_to(work / "elsewhere.json")
    assert "my-work.json.lock is a link" in Progress(work).trouble()
    assert (work / "elsewhere.json").read_bytes() == before


def test_a_folder_that_is_gone_is_said_and_not_made_again(tmp_path: Path) -> None:
    (tmp_path / "work").mkdir()
    progress = Progress(tmp_path / "work")
    session = forms(progress)[0]
    session.act("check", {"answer": "1 bar"})
    (tmp_path / "work").rename(tmp_path / "renamed")
    before = sorted(path.name for path in (tmp_path / "renamed").iterdir())
    with pytest.raises(StoreError, match="is gone or has another name"):
        session.typed({"answer": "2 bar"})
    assert "is gone or has another name" in progress.trouble() and sent(session)
    assert not (tmp_path / "work").exists() and before == sorted(path.name for path in (tmp_path / "renamed").iterdir())


@contextmanager
def held(folder: Path) -> Iterator[None]:
    """Another program that holds the learner's file."""
    code = "import sys, filelock; lock = filelock.FileLock(sys.argv[1]); lock.acquire(); print('held', flush=True); sys.stdin.read()"
    command = [sys.executable, "-c", code, str(folder / f".{FILE}.lock")]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdin is not None and process.stdout is not None and process.stdout.readline() == "held\n"
        yield
        process.stdin.close()


def test_a_lesson_waits_once_for_another_program_and_says_so(work: Path) -> None:
    (work / FILE).write_bytes(KEPT)
    progress = Progress(work)
    progress._store._lock_seconds = 1.0
    with held(work):
        begin = time.monotonic()
        shown = [sent(session) for session in forms(progress) for _ in range(6)]
        assert time.monotonic() - begin < 3.0, "one wait of a second, and no more"
        assert "another program holds my-work.json" in progress.trouble()
        with pytest.raises(StoreError, match="another program holds"):
            forms(progress)[0].act("check", {"answer": "1 bar"})
    assert shown[::6] == [sent(session) for session in forms(Progress(work))], "what was kept is shown meanwhile"
    forms(progress)[0].act("check", {"answer": "1 bar"})
    assert progress.trouble() == ""


def test_two_forms_of_one_lesson_lose_nothing_of_one_another(work: Path) -> None:
    sessions = forms(Progress(work))[:2]
    threads = [threading.Thread(target=one.act, args=("hint", {})) for one in sessions for _ in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [Progress(work).entry(*keys)["hints"] for keys in (QUANTITY, CHOICE)] == [5, 5]
