"""The launch as data: what its dictionary says, what lies in its room, what it leaves alone."""

from __future__ import annotations

import copy
import json
import os
import shutil
import tempfile
from importlib import import_module
from pathlib import Path

import pytest

from steadyneedle.foundation import notebooks, places
from steadyneedle.foundation.notebooks import VIEW
from steadyneedle.lesson_view import launch
from steadyneedle.lesson_view.plug_in import NAME, PAGE
from steadyneedle.lesson_view.running import LaunchError, PortError, check_port, open_lab
from steadyneedle.lesson_view.saving import keep_plain


@pytest.fixture
def room(tmp_path: Path) -> Path:
    (tmp_path / "room").mkdir()
    return tmp_path / "room"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "work").mkdir()
    return tmp_path / "work"


def files_of(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def test_a_page_is_served_to_this_machine_alone_from_a_room_of_its_own(room: Path, folder: Path) -> None:
    made = launch.settings(room, folder, ground="dark")
    config, environment = made["config"], made["environment"]
    assert config["ServerApp"]["ip"] == "localhost" and config["ServerApp"]["root_dir"] == str(folder)
    assert files_of(folder) == [], "nothing is written into the learner's folder"
    for path in (config["MappingKernelManager"]["root_dir"], config["LabApp"]["user_settings_dir"], config["LabApp"]["workspaces_dir"],
                 *config["LabApp"]["extra_labextensions_path"], environment["JUPYTER_CONFIG_DIR"], environment["IPYTHONDIR"]):  # fmt: skip
        assert Path(path).is_relative_to(room)
    assert environment["PYTHONSAFEPATH"] == "1" and environment["PYTHONSTARTUP"] is None
    assert environment[launch.THREADS] == "1"
    assert environment[places.WORK_VARIABLE] == str(folder) and environment[places.SHEETS_VARIABLE] is None
    assert made["page_config"]["disabledExtensions"]["@jupyterlab/apputils-extension:announcements"]
    theme = room / "settings" / "@jupyterlab" / "apputils-extension" / "themes.jupyterlab-settings"
    assert json.loads(theme.read_text(encoding="utf-8")) == {"theme": "JupyterLab Dark"}
    written = json.loads((room / "config" / "jupyter_server_config.json").read_text(encoding="utf-8"))
    assert written == config, "what Jupyter reads is the dictionary"
    module, _, name = config["ContentsManager"]["pre_save_hook"].rpartition(".")
    assert getattr(import_module(module), name) is keep_plain


def test_a_notebook_keeps_the_users_own_settings(room: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("JUPYTERLAB_SETTINGS_DIR", "/of/the/user")
    config = launch.settings(room, folder, launch.NOTEBOOK)["config"]
    assert config["LabApp"]["user_settings_dir"] == "/of/the/user"
    assert config["LabApp"]["extra_labextensions_path"] == [] and not (room / "plug-ins").exists()
    assert not Path(config["LabApp"]["workspaces_dir"]).is_relative_to(folder)
    assert config["ContentsManager"]["pre_save_hook"], "outputs stay out of a lesson saved there"


def test_the_token_stands_in_the_environment_alone(room: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("JUPYTER_PATH", "/somebody/else's/plug-ins")
    made = launch.settings(room, folder, sheets=Path("/sheets"))
    environment = launch.environment_with(made, "secret")
    assert environment["JUPYTER_TOKEN"] == "secret" and "JUPYTER_PATH" not in environment
    assert environment["PATH"] == os.environ["PATH"] and environment[places.SHEETS_VARIABLE] == "/sheets"
    assert "secret" not in json.dumps(made) + "".join(path.read_text(errors="replace") for path in room.rglob("*.js*"))


def static_of(room: Path) -> Path:
    """The folder of the plug-in's files, whose beginning JupyterLab is told."""
    place = room / "plug-ins" / NAME
    begin = place / json.loads((place / "package.json").read_text(encoding="utf-8"))["jupyterlab"]["_build"]["load"]
    assert begin.is_file()
    return begin.parent


def test_a_browser_that_keeps_files_for_a_year_gets_those_of_this_workbook(room: Path, folder: Path) -> None:
    """JupyterLab says of a plug-in's files that they never change: another content needs another address."""
    shipped = room / "other"
    shutil.copytree(places.lessons(), shipped)
    names = []
    for n in range(3):
        if n == 2:
            (shipped / "00-start-here.ipynb").unlink()
        (room / str(n)).mkdir()
        launch.settings(room / str(n), folder, shipped=shipped)
        names.append(static_of(room / str(n)).name)
    assert names[0] == names[1] != names[2]


def test_the_plug_in_carries_every_code_cell_and_no_answers_for_trainees(room: Path, folder: Path) -> None:
    launch.settings(room, folder)
    static = static_of(room)
    assert {path.name for path in PAGE.iterdir()} < {path.name for path in static.iterdir()}
    text = (static / "shipped.js").read_text(encoding="utf-8")
    constants = dict(line.removeprefix("export const ").split(" = ", 1) for line in text.split(";\n") if line)
    code, pages = json.loads(constants["CODE"]), json.loads(constants["PAGES"])
    for path in places.lessons().rglob("*.ipynb"):
        assert set(notebooks.code_of(notebooks.read(path))) <= set(code), path.name
    assert [page["file"] for page in pages] == [path.name for path in sorted(places.lessons().glob("*.ipynb"))]
    assert pages[1]["title"] == "01 Pressure and its units" and pages[1]["lesson"] == "01"
    assert files_of(static / "lessons") == [page["file"] for page in pages]


def test_the_instructors_pages_come_when_asked(room: Path, folder: Path) -> None:
    launch.settings(room, folder, instructor=True)
    laid = files_of(static_of(room) / "lessons")
    assert "instructor/03-for-the-instructor.ipynb" in laid and "03-specification-bands.ipynb" in laid


def test_a_port_in_use_is_a_sentence() -> None:
    import socket

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(PortError, match=f"Port {port} is in use. Leave --port out, or name another"):
            check_port(port)
    check_port(port)  # free again as soon as it was left


LESSON = "01-pressure-and-units.ipynb"


def saved(path: Path) -> dict:
    """A lesson as JupyterLab would save it after Run All: counts, views, state, times."""
    book = copy.deepcopy(notebooks.read(path))
    book["metadata"]["widgets"] = {"application/vnd.jupyter.widget-state+json": {}}
    for cell in book["cells"]:
        if cell["cell_type"] == "code":
            cell["execution_count"] = 77
            cell["metadata"]["execution"] = {"iopub.status.busy": "now"}
            cell["outputs"] = [{"output_type": "display_data", "metadata": {}, "data": {VIEW: {"model_id": "x"}}}]
    return book


def test_a_lesson_saved_as_a_notebook_stays_as_it_was_shipped() -> None:
    shipped = notebooks.read(places.lessons() / LESSON)
    model = {"type": "notebook", "content": saved(places.lessons() / LESSON)}
    keep_plain(model, path=LESSON, contents_manager=None)
    assert model["content"] == shipped


def test_a_cell_of_the_learners_own_is_kept_without_its_output_and_other_notebooks_are_left_alone() -> None:
    book = saved(places.lessons() / LESSON)
    own = next(cell for cell in book["cells"] if cell["cell_type"] == "code")
    own["source"] = "1 + 1"
    keep_plain({"type": "notebook", "content": book})
    assert (own["source"], own["outputs"], own["execution_count"]) == ("1 + 1", [], None)
    other = saved(places.lessons() / LESSON)
    del other["metadata"]["steadyneedle"]
    before = copy.deepcopy(other)
    keep_plain({"type": "notebook", "content": other})
    keep_plain({"type": "file", "content": "text"})
    assert other == before


def test_a_home_that_cannot_be_written_is_not_needed(room: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("HOME", "XDG_STATE_HOME", "JUPYTER_DATA_DIR"):
        monkeypatch.setenv(name, "/dev/null")
    made = launch.settings(room, folder, launch.NOTEBOOK)
    kept = [made["environment"][name] for name in ("JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "MPLCONFIGDIR")]
    kept += [made["config"]["LabApp"][name] for name in ("workspaces_dir", "user_settings_dir")]
    assert all(Path(path).is_relative_to(room) for path in kept)


@pytest.mark.parametrize(
    ("error", "why"),
    [
        (OSError(28, "No space left on device"), "No space left on device"),
        (shutil.Error([("a", "b", "[Errno 28] No space left on device: 'b'")]), "No space left on device"),
    ],
)
def test_a_full_temporary_folder_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: OSError, why: str
) -> None:
    def fails(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.setattr(launch, "settings", fails)
    with pytest.raises(LaunchError) as refused:
        open_lab(tmp_path, "00-start-here.ipynb", print)
    said = f"Temporary files cannot be written in {tmp_path}: {why}. Free some space there, or name another folder"
    assert str(refused.value).startswith(said)
