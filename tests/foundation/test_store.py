"""The store: nothing shown as saved is ever lost."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from steadyneedle.foundation import store as store_module
from steadyneedle.foundation.store import Store, StoreError, write_atomically

WRITER = """
import sys
from pathlib import Path
from steadyneedle.foundation.store import Store
store = Store(Path(sys.argv[1]), version=1)
while True:
    with store.change() as content:
        content["count"] = content.get("count", 0) + 1
        content["filler"] = "x" * (content["count"] % 7) * 4000
    print(content["count"], flush=True)
"""


def kill_writers(path: Path, kills: int, seed: int) -> int:
    """Kill a writing process at random moments; what it had announced must be there. Returns the count reached."""
    dice = random.Random(seed)
    reached = 0
    for _ in range(kills):
        command = [sys.executable, "-c", WRITER, str(path)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout is not None
            first = process.stdout.readline()
            time.sleep(dice.uniform(0.0, 0.03))
            os.kill(process.pid, signal.SIGKILL)
            announced = [int(line) for line in [first, *process.stdout.read().splitlines()] if line.strip()]
        content = json.loads(path.read_text(encoding="utf-8"))
        assert content["count"] >= announced[-1], "what was announced as saved is gone"
        assert content["count"] > reached, "an earlier state came back"
        assert len(content["filler"]) == (content["count"] % 7) * 4000, "a half-written file"
        reached = content["count"]
    return reached


@pytest.mark.skipif(os.name != "posix", reason="needs SIGKILL")
def test_twenty_kills_lose_nothing(tmp_path: Path) -> None:
    assert kill_writers(tmp_path / "work.json", 20, seed=1) >= 20


@pytest.mark.long
@pytest.mark.skipif(os.name != "posix", reason="needs SIGKILL")
def test_two_hundred_kills_lose_nothing(tmp_path: Path) -> None:
    reached = kill_writers(tmp_path / "work.json", 200, seed=2)
    print(f"200 kills, {reached} changes written, none announced as saved was lost")
    assert reached >= 200
    store = Store(tmp_path / "work.json", version=1)
    with store.change():
        pass
    assert not list(tmp_path.glob("*.part")) and not list(tmp_path.glob(".*.part")), "leftovers were not swept"


COUNT = """
import sys
from pathlib import Path
from steadyneedle.foundation.store import Store
store = Store(Path(sys.argv[1]), version=1)
for _ in range(60):
    with store.change() as content:
        content["count"] = content.get("count", 0) + 1
"""
"""A program of its own: what imports tests by name does not work where Python keeps the folder off its path."""


def test_two_writers_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "work.json"
    writers = [subprocess.Popen([sys.executable, "-c", COUNT, str(path)]) for _ in range(2)]
    assert [writer.wait() for writer in writers] == [0, 0]
    assert Store(path, version=1).read()["count"] == 120


def test_file_is_readable_json(tmp_path: Path) -> None:
    with Store(tmp_path / "work.json", version=3).change() as content:
        content["typed"] = "9,8 bar – ℃"
    text = (tmp_path / "work.json").read_text(encoding="utf-8")
    assert '"typed": "9,8 bar – ℃"' in text and json.loads(text)["version"] == 3


def test_failed_change_leaves_the_old_content(tmp_path: Path) -> None:
    store = Store(tmp_path / "work.json", version=1)
    with store.change() as content:
        content["a"] = 1
    with pytest.raises(RuntimeError, match="stop"), store.change() as content:
        content["a"] = 2
        raise RuntimeError("stop")
    with pytest.raises(ValueError, match="JSON compliant"), store.change() as content:
        content["a"] = float("nan")
    assert store.read()["a"] == 1


def test_full_disk_says_not_saved(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store = Store(tmp_path / "work.json", version=1)
    with store.change() as content:
        content["a"] = 1

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(store_module.os, "fsync", full)
    said = r"Not saved: work\.json: No space left on device\. Free some space"
    with pytest.raises(StoreError, match=said), store.change() as content:
        content["a"] = 2
    monkeypatch.undo()
    assert store.read()["a"] == 1
    assert [path.name for path in tmp_path.glob("*.part")] == []


@pytest.mark.parametrize("damage", [b"", b"{", b"[]", b"\xff\xfe", b'{"version": "x"}', b"[" * 100_000, b"null"])
def test_damaged_file_is_kept_aside(tmp_path: Path, damage: bytes) -> None:
    path = tmp_path / "work.json"
    path.write_bytes(damage)
    store = Store(path, version=1)
    assert store.read() == {"version": 1}
    with store.change() as content:
        content["a"] = 1
    kept = tmp_path / store.set_aside
    assert kept.read_bytes() == damage and kept.name.startswith("work.damaged-")


def test_the_news_of_a_damaged_file_is_not_kept(tmp_path: Path) -> None:
    path = tmp_path / "work.json"
    path.write_text("{", encoding="utf-8")
    store = Store(path, version=1)
    with store.change() as content:
        content["a"] = 1
    assert store.read() == {"version": 1, "a": 1}


def test_file_of_a_newer_version_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "work.json"
    path.write_text('{"version": 9, "a": 1}', encoding="utf-8")
    with pytest.raises(StoreError, match="newer Steady Needle"), Store(path, version=1).change():
        pass
    assert json.loads(path.read_text(encoding="utf-8")) == {"version": 9, "a": 1}


@pytest.mark.skipif(os.name != "posix", reason="a file where a folder should be")
def test_a_folder_that_cannot_be_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with (
        pytest.raises(StoreError, match="Not saved"),
        Store(tmp_path / "file" / "work.json", version=1).change(),
    ):
        pass


def test_held_lock_is_said(tmp_path: Path) -> None:
    path = tmp_path / "work.json"
    with Store(path, version=1).change():
        other = Store(path, version=1, lock_seconds=0.1)
        with pytest.raises(StoreError, match="another program holds"), other.change():
            pass


def test_atomic_write_keeps_the_mode(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(b"old")
    path.chmod(0o600)
    write_atomically(path, b"new")
    assert path.read_bytes() == b"new" and (os.name != "posix" or path.stat().st_mode & 0o777 == 0o600)
