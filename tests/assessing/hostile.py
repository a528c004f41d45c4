"""Files that a candidate may hand in by mishap or on purpose, each with the words that its row must say."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from cohort import changed, file_of, paper_of

from steadyneedle.assessing.handed_in_form import FIELDS

OF_A_KIND = {
    "a number": 7,
    "a truth": True,
    "nothing": None,
    "a list": [],
    "a text": "</td><script>alert(1)</script>",
    "an object": {"a": {}},
    "a fraction": 1.5,
}
"""A value of every kind that JSON knows."""
DOES_NOT_FIT = "its field '{}' holds what cannot stand there"
CHANGED = "its checksum does not fit"
NO_PAPER = "is no handed-in paper"


def _set(field: str, value: Any) -> Callable[[dict[str, Any]], None]:
    return lambda content: content.__setitem__(field, value)


def _in(field: str, number: str, value: Any) -> Callable[[dict[str, Any]], None]:
    return lambda content: content[field].__setitem__(number, value)


def wrong_types() -> Iterator[tuple[str, bytes, str]]:
    """Every field of the form holding every other kind of value, the checksum made to fit."""
    for field, kind in FIELDS.items():
        for name, value in OF_A_KIND.items():
            if type(value) is not kind:
                words = DOES_NOT_FIT.format(field)
                if field == "version":
                    words = "does not say which version of the form it is"
                yield (
                    f"{field} holds {name}.json",
                    changed(file_of("101"), _set(field, value), field != "checksum"),
                    words,
                )


def wrong_values() -> Iterator[tuple[str, bytes, str]]:
    """Right types, and values that no paper has."""
    honest = file_of("101")
    for field, value in (
        ("candidate", "../../etc/passwd"), ("candidate", "=1+1"), ("candidate", "1234567890123"), ("candidate", "１０１"), ("candidate", ""),
        ("paper", "../units-and-bands"), ("paper", "Units\nand bands"), ("paper", "<b>"), ("paper", "a" * 4_000_000), ("paper", "a-" * 2_000_000),
        ("attempt", 0), ("attempt", -1), ("attempt", 10**30), ("cohort", "=cmd"), ("paper_digest", "0"),
        ("asked", {}), ("asked", {"1": 1}), ("asked", {"0": "0" * 64}), ("asked", {"1\n": "0" * 64}), ("asked", {"1": {"1": "0" * 64}}),
        ("answers", {"99": "9.8 bar"}), ("answers", {"1": 9.8}), ("answers", {"1": ["9.8 bar"]}), ("answers", {"1": "9" * 10_001}), ("answers", {"1": "9" * 4_900_000}),
        ("handed_in_at", "yesterday"), ("handed_in_at", "2026-02-30T10:15:00Z"), ("checksum", "=1+1"),
    ):  # fmt: skip
        shown = f"{len(str(value))} signs, {re.sub(r'[^a-zA-Z0-9=+<>-]', '-', str(value))[:24]}"
        yield (
            f"{field} is {shown}.json",
            changed(honest, _set(field, value), field != "checksum"),
            DOES_NOT_FIT.format(field),
        )


def no_json() -> Iterator[tuple[str, bytes, str]]:
    """What is no JSON, or no JSON that may stand here."""
    honest = file_of("101")
    text = honest.decode()
    yield "empty.json", b"", "is empty"
    yield "blank.json", b" \r\n" * 1000, "is empty"
    yield "cut off.json", honest[: len(honest) // 2], "is cut off"
    yield "cut by a byte.json", honest.rstrip()[:-1], "is cut off"
    yield "twice over.json", honest + honest, "is damaged: it is no JSON"
    yield "no json.txt", b"9.8 bar, 142 psi", "is damaged: it is no JSON"
    yield "a picture.png", b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 50, "is no text in UTF-8"
    yield "an archive.zip", b"PK\x03\x04" + bytes(range(128, 256)) * 50, "is an archive. Unpack it"
    yield "utf-16.json", text.encode("utf-16"), "is no text in UTF-8"
    yield "latin.json", text.replace("I write", "Ich schreibe für").encode("latin-1"), "is no text in UTF-8"
    yield "nulls.json", b"\0" * 4_000_000, "is damaged: it is no JSON"
    yield "code.json", b"__import__('os').system('touch ran')", "is damaged: it is no JSON"
    yield "brackets.json", b"[" * 100_000, "is nested more than 20 levels deep"
    yield "closed brackets.json", b"[" * 50_000 + b"]" * 50_000, "is nested more than 20 levels deep"
    yield "braces.json", b'{"a":' * 49_000, "is nested more than 20 levels deep"
    yield "many brackets.json", b"[" * 4_900_000, "holds more parts than any such file has"
    yield "many lists.json", b"[" + b"[]," * 1_600_000 + b"[]]", "holds more parts than any such file has"
    yield "many names.json", b"{" + b'"":1,' * 900_000 + b'"":1}', "holds more parts than any such file has"
    yield (
        "answers nested.json",
        text.replace('"answers": {', '"answers": {"0": ' + "[" * 30 + "]" * 30 + ",").encode(),
        "is nested more than 20 levels deep",
    )
    yield (
        "a field twice.json",
        text.replace('"attempt": 1', '"attempt": 1, "attempt": 2').encode(),
        "holds the name 'attempt' twice",
    )
    yield (
        "an answer twice.json",
        text.replace('"answers": {', '"answers": {"1": "1 bar", ').encode(),
        "holds the name '1' twice",
    )
    for word in ("NaN", "Infinity", "-Infinity"):
        yield (
            f"{word}.json",
            text.replace('"attempt": 1', f'"attempt": {word}').encode(),
            f"holds {word} where a number",
        )
    yield (
        "1e999.json",
        text.replace('"attempt": 1', '"attempt": 1e999').encode(),
        "holds 1e999, a number beyond all measure",
    )
    yield (
        "a long number.json",
        text.replace('"attempt": 1', '"attempt": ' + "1" * 4_000_000).encode(),
        "holds a number of 4000000 signs",
    )
    yield "half a letter.json", text.replace("I write", "\\ud83d I write").encode(), "holds half of a letter"


def other_forms() -> Iterator[tuple[str, bytes, str]]:
    """JSON that is not this form, or not as it was handed in."""
    honest, other = file_of("101"), json.loads(file_of("102"))
    yield "a list.json", b"[]", NO_PAPER
    yield "null.json", b"null", NO_PAPER
    yield "a text.json", b'"9.8 bar"', NO_PAPER
    yield "an object.json", b"{}", NO_PAPER
    yield "a notebook.json", b'{"cells": [], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}', "is a notebook"
    yield "of the future.json", changed(honest, _set("version", 2)), "was handed in with a newer Steady Needle"
    yield (
        "of a far future.json",
        changed(honest, lambda c: (c.clear(), c.update(version=99, answers=[[]]))),
        "was handed in with a newer Steady Needle",
    )
    yield "version nought.json", changed(honest, _set("version", 0)), "does not say which version"
    yield "a field more.json", changed(honest, _set("mark", 25)), "holds a field that no handed-in paper has"
    for field in FIELDS:
        words = "is not whole: its field" if field != "version" else "does not say which version"
        yield f"without {field}.json", changed(honest, lambda c, field=field: c.pop(field)), words
    yield "by hand.json", changed(honest, _in("answers", "1", "9.8 bar"), mend_checksum=False), CHANGED
    yield "another's checksum.json", changed(honest, _set("checksum", other["checksum"]), mend_checksum=False), CHANGED
    yield "another's number.json", changed(honest, _set("candidate", "102"), mend_checksum=False), CHANGED


def of_another_paper() -> Iterator[tuple[str, bytes, str]]:
    """Files that are whole, and not what the key issued."""
    honest, other = file_of("101"), paper_of("102")
    yield "of nobody.json", file_of("999"), "no paper of this kind was issued to candidate 999"
    yield "of an attempt to come.json", file_of("101", attempt=2), "no paper of this kind was issued to candidate 101"
    yield (
        "of a paper nobody set.json",
        changed(honest, _set("paper", "creep")),
        "no paper of this kind was issued to candidate 101",
    )
    yield "of another cohort.json", changed(honest, _set("cohort", "0" * 8)), "belongs to another cohort"
    yield (
        "another's answers.json",
        changed(honest, _set("candidate", "102")),
        "is not of the paper that candidate 102 got",
    )
    yield (
        "another's paper.json",
        changed(honest, _set("paper_digest", other.digest)),
        "is not of the paper that candidate 101 got",
    )


def strange_names() -> Iterator[tuple[bytes, str]]:
    """Names of empty files."""
    for name in (
        b"=cmd|' .json", b"=HYPERLINK(x).json", b"+1.json", b"-1.json", b"@sum.json", b"a;=1+1.json", b"a\t=1+1.json",
        b"two\nlines.json", b"..%2f..%2fetc.json", b"..\\..\\marks.json", b"<script>alert(1)<script>.json", b"<img src=x onerror=alert(1)>.json",
        b"\xff\xfe.json", b"\xe2\x80\xaeksra.json", b"a" * 250, b"'.json", b'".json', b"$(touch ran).json", b"`touch ran`.json", b"CON", b"[a](javascript:alert(1)).json",
    ):  # fmt: skip
        yield name, "is empty"


def lay(folder: Path) -> dict[str, str]:
    """Lay all of them into a folder but for `lay_no_files`; name -> words of the row."""
    laid = {}
    for make in (wrong_types, wrong_values, no_json, other_forms, of_another_paper):
        for name, data, words in make():
            path = folder / name.replace("/", "-")
            assert not path.exists(), name
            path.write_bytes(data)
            laid[path.name] = words
    for raw, words in strange_names():
        (folder / os.fsdecode(raw)).write_bytes(b"")
        laid[os.fsdecode(raw)] = words
    return laid


def lay_no_files(folder: Path) -> dict[str, str]:
    """What is no plain file, and one that is far too large."""
    secret = folder.parent / "somebody's.json"
    secret.write_bytes(file_of("102"))
    for name, target in (
        ("link.json", secret), ("link to itself.json", "link to itself.json"), ("link to nowhere.json", "nowhere"),
        ("link to a device.json", "/dev/zero"), ("link to the folder.json", "."), ("link up.json", "../somebody's.json"),
    ):  # fmt: skip
        (folder / name).symlink_to(target)
    os.mkfifo(folder / "a pipe.json")
    (folder / "a folder.json").mkdir()
    (folder / "a folder.json" / "101.json").write_bytes(file_of("101"))
    with (folder / "sparse.json").open("wb") as file:
        file.truncate(2_000_000_000)
    (folder / "five megabytes.json").write_bytes(b" " * 5_000_001)
    laid = dict.fromkeys((path.name for path in folder.glob("link*")), "is a link to another place")
    return laid | {
        "a pipe.json": "is a pipe", "a folder.json": "is a folder",
        "sparse.json": "holds 2000.0 MB, and at most 5 MB are read", "five megabytes.json": "holds 5.0 MB, and at most 5 MB",
    }  # fmt: skip


def paths_of_a_job(number: int, design: str) -> Iterator[tuple[str, str, str]]:
    """Answers to a job that are no honest path: name, answer, words of the reason."""
    from steadyneedle.jobs.path import JobPath, Said
    from steadyneedle.jobs.path_file import as_text
    from steadyneedle.jobs.play import seen

    done = JobPath(number, design).done("tap", seen(number, "tap", 0).outcome, Said("grit", 25))
    honest = json.loads(as_text(done.stopped(Said("grit", 25))))

    def but(**fields: Any) -> str:
        return json.dumps({**honest, **fields})

    def step(**fields: Any) -> str:
        return but(steps=[{**honest["steps"][0], **fields}])

    yield "no JSON", "9.8 bar", "it is no JSON"
    yield "code", "__import__('os').system('touch ran')", "it is no JSON"
    yield "brackets", "[" * 10_000, "nested more than 20 levels"
    yield "a name twice", but().replace('"end"', '"job": 1, "end"', 1), "holds the name 'job' twice"
    yield "NaN", but().replace(f'"job": {number}', '"job": NaN'), "holds NaN where a number"
    yield "1e999", but().replace(f'"job": {number}', '"job": 1e999'), "a number beyond all measure"
    yield "of no kind", but(kind="steadyneedle job path 2"), "it does not say so"
    yield "a list", json.dumps([honest]), "it does not say so"
    yield "another candidate's job", but(job=number + 1), f"The candidate was given job {number}"
    yield "job of a wrong type", but(job=str(number)), "'job' holds another kind of thing"
    yield "job that is true", but(job=True), "'job' holds another kind of thing"
    yield "job nought", but(job=0), "A job has a number from 1"
    yield "job of millions", but(job=10**30), "A job has a number from 1"
    other = next(one for one in ("Alder", "Rowan", "Hazel", "Juniper", "Linden") if one != design)
    yield "another design", but(design=other), f"Job {number} is a {design}"
    yield "no such design", but(design="</td><script>alert(1)</script>"), "There is no stage"
    yield "an unknown test", step(test="open_the_valve"), f"{design} has no test 'open_the_valve'"
    yield "a test that is a tag", step(test="<script>alert(1)</script>"), f"{design} has no test"
    yield "an outcome that no test shows", step(outcome="=1+1"), "'tap' never shows"
    yield "an unknown cause", but(verdict={"cause": "bad luck", "confidence": 95}), f"{design} has no cause 'bad luck'"
    yield "surer than sure", but(verdict={"cause": "grit", "confidence": 100}), "needs a cause and a confidence"
    yield "sixty-one steps", but(steps=[{"test": "tap"}] * 61), "at most 60 are read"
    yield "a field more", but(mark=10), "a field 'mark' that no path has"
    yield "without its end", json.dumps({k: v for k, v in honest.items() if k != "end"}), "'end' is missing"
    yield "no such end", but(end="found"), "is no end of a job"
    yield "nothing named", but(verdict={"cause": "", "confidence": 0}), "the verdict names no cause"
    yield "advised", step(advised=True), "Played again, the path comes out otherwise"
    yield "a replay", but(replay=True), "Played again, the path comes out otherwise"
    yield (
        "a failure that was none",
        but(end="critical", because="stop", fatal="tap"),
        "Played again, the path comes out otherwise",
    )
