"""Files that somebody else put there: what is no plain file is not opened, what is no plain JSON is refused."""

from __future__ import annotations

import json
import os
import socket
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some

from steadyneedle.foundation.own_files import OwnFileError, read_own_file
from steadyneedle.foundation.strict_json import DEEPEST, MOST_SIGNS, StrictJSONError, read_strict

JSON = some.recursive(
    some.none() | some.booleans() | some.integers(-(10**30), 10**30) | some.floats(allow_nan=False, allow_infinity=False)
    | some.text(some.characters(exclude_categories=["Cs"])),
    lambda inside: some.lists(inside, max_size=4) | some.dictionaries(some.text(some.characters(exclude_categories=["Cs"])), inside, max_size=4),
    max_leaves=12,
)  # fmt: skip


def refusal(data: bytes) -> str:
    with pytest.raises(StrictJSONError) as caught:
        read_strict(data)
    return str(caught.value)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b" \n\t", "is empty"),
        (b"\xff\xfe{", "is no text in UTF-8"),
        (b'{"a": "9.8 ba', "is cut off: its end is missing"),
        (b'{"a": 1', "is cut off: its end is missing"),
        (b"answers: 9.8 bar", "is damaged: it is no JSON"),
        (b'{"a": 1}{"a": 1}', "is damaged: it is no JSON"),
        (b'{"a": {"b": 1, "b": 1}}', "holds the name 'b' twice"),
        (b'{"a": NaN}', "holds NaN where a number should stand"),
        (b"[-Infinity]", "holds -Infinity where a number should stand"),
        (b"[1e999]", "holds 1e999, a number beyond all measure"),
        (b"[" + b"1" * 5000 + b"]", "holds a number of 5000 signs"),
        (b"[0." + b"1" * 5000 + b"]", "holds a number of 5002 signs"),
        (b'["\\ud800"]', "holds half of a letter, which no keyboard types"),
        (b'{"\\udfff": 1}', "holds half of a letter, which no keyboard types"),
        (b"[" * 21 + b"]" * 21, f"is nested more than {DEEPEST} levels deep"),
        (b"[" * 100_000, f"is nested more than {DEEPEST} levels deep"),
        (b'{"a":' * 40_000, f"is nested more than {DEEPEST} levels deep"),
        (b"[" + b"0," * (MOST_SIGNS + 1), "holds more parts than any such file has"),
    ],
)  # fmt: skip
def test_what_is_no_plain_json_is_refused(data: bytes, words: str) -> None:
    assert refusal(data) == words


def test_twenty_levels_and_a_whole_pair_are_read() -> None:
    assert read_strict(b"[" * DEEPEST + b"]" * DEEPEST)
    assert read_strict(b'\xef\xbb\xbf["\\ud83d\\ude00"]') == ["\U0001f600"]


@given(JSON)
def test_what_json_writes_is_read_as_it_was(value: object) -> None:
    assert read_strict(json.dumps(value).encode()) == value


@given(some.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        read_strict(data)
    except StrictJSONError as error:
        assert str(error).isprintable()


def test_only_a_plain_file_is_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "plain").write_bytes(b"abc")
    assert read_own_file(tmp_path / "plain", 3) == b"abc"
    (tmp_path / "link").symlink_to("plain")
    (tmp_path / "nowhere").symlink_to("gone")
    (tmp_path / "round").symlink_to("round")
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    monkeypatch.chdir(tmp_path)  # the name of a socket must be short
    with socket.socket(socket.AF_UNIX) as made:
        made.bind("socket")
    with (tmp_path / "sparse").open("wb") as file:
        file.truncate(2_000_000_000)
    monkeypatch.setattr(os, "open", lambda *_: pytest.fail("it was opened"))
    for name, words in (
        ("link", "is a link"), ("nowhere", "is a link"), ("round", "is a link"), ("folder", "is a folder"),
        ("pipe", "is a pipe"), ("socket", "is a socket"), ("sparse", "holds 2000.0 MB, and at most 5 MB are read"),
        ("none", "cannot be read: no such file"), ("nul\0", "cannot be read: no system can hold its name"),
        ("/dev/zero", "is a device"), ("/dev/stdin", "is a"),
    ):  # fmt: skip
        with pytest.raises(OwnFileError, match=words):
            read_own_file(tmp_path / name, 5_000_000)


def test_what_was_swapped_after_the_look_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A link or a pipe in place of the file that was looked at: not followed, not waited for."""
    secret, file = tmp_path / "secret", tmp_path / "file"
    secret.write_bytes(b"secret")
    file.write_bytes(b"plain")
    look = file.lstat()
    monkeypatch.setattr(type(file), "lstat", lambda _: look)
    file.unlink()
    file.symlink_to(secret)
    with pytest.raises(OwnFileError, match="cannot be read"):
        read_own_file(file, 100)
    file.unlink()
    os.mkfifo(file)
    with pytest.raises(OwnFileError, match="is a pipe"):
        read_own_file(file, 100)
