"""How JupyterLab is launched: one function gives all of it as a dictionary.

Nothing of the learner's folder is executed or read as configuration: settings, kernels' working folder and plug-ins
lie in a room of the launch's own, and Python never looks for modules where it happens to stand.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
from pathlib import Path
from typing import Any

from steadyneedle.foundation import places, user_state
from steadyneedle.lesson_view.plug_in import lay_plug_in

PAGE, PRESENT, NOTEBOOK = "page", "present", "notebook"
DISABLED = ("@jupyterlab/apputils-extension:announcements",)
DISABLED_ON_A_PAGE = (*DISABLED, "@jupyterlab/application-extension:connectionlost")
FOREIGN = ("JUPYTER_CONFIG_PATH", "JUPYTER_PATH", "JUPYTERLAB_DIR", "PYTHONSTARTUP", "MPLBACKEND")
"""Variables that would bring another installation's settings, kernels, plug-ins and windows for pictures."""

ANEW = "steadyneedle.lesson_view.connecting.NamedAnew"

THREADS = "OPENBLAS_NUM_THREADS"


def settings(
    room: Path,
    folder: Path,
    view: str = PAGE,
    *,
    sheets: Path | None = None,
    instructor: bool = False,
    ground: str = "light",
    base_url: str = "/",
    shipped: Path | None = None,
    first_lines: tuple[str, ...] | None = None,
    variables: dict[str, str] | None = None,
) -> dict[str, Any]:
    """Settings of a JupyterLab on a working copy; the files they name are laid into the room.

    Parameters
    ----------
    room : Path
        An empty folder of this launch, outside the learner's.
    folder : Path
        The working copy.
    view : str
        `page`, the lesson view; `present`, the same for a class, on a wall; or `notebook`, plain JupyterLab with the
        user's own settings.
    sheets : Path
        Specification sheets in use.
    instructor : bool
        Whether the instructor's pages belong to the copy.
    ground : str
        `light` or `dark`, the ground of the page when it opens.
    base_url : str
        What all addresses of the server begin with.
    shipped : Path
        Folder of the lessons as shipped.
    first_lines, variables
        What a kernel runs before its first cell, left out what lessons need; variables to set besides.

    Returns
    -------
    dict
        `config`: traits by class, as Jupyter's own configuration files hold them. `environment`: variables to set,
        None for those to take away. `page_config`: JupyterLab's own.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as room:
    ...     settings(Path(room), Path("work"))["config"]["ServerApp"]["root_dir"]
    'work'
    """
    page, config = view != NOTEBOOK, _config(folder, base_url, view)
    if page:
        lay_plug_in(room / "plug-ins", shipped, instructor, view == PRESENT)
        config["MappingKernelManager"] = {"root_dir": str(_lay_page(room, ground))}
    config["LabApp"] |= _of_a_page(room) if page else _of_a_notebook(folder, room)
    page_config = {"disabledExtensions": dict.fromkeys(DISABLED_ON_A_PAGE if page else DISABLED, True)}
    _write(room / "config" / "jupyter_server_config.json", config)
    _write(room / "config" / "labconfig" / "page_config.json", page_config)
    _write(room / "ipython" / "profile_default" / "ipython_kernel_config.json", _kernel(page, first_lines))
    environment = {**_environment(room, folder, sheets), **(variables or {})}
    return {"config": config, "environment": environment, "page_config": page_config}


def _lay_page(room: Path, ground: str) -> Path:
    """The ground of the page when it opens, and the folder in which its kernels stand."""
    theme = {"theme": "JupyterLab Dark" if ground == "dark" else "JupyterLab Light"}
    _write(room / "settings" / "@jupyterlab" / "apputils-extension" / "themes.jupyterlab-settings", theme)
    (room / "kernels").mkdir()
    return room / "kernels"


def _config(folder: Path, base_url: str, view: str) -> dict[str, dict[str, Any]]:
    """Traits that the views share: plug-ins come from the workbook's environment only."""
    connecting = {} if view == NOTEBOOK else {"kernel_websocket_connection_class": ANEW}
    return {
        "ServerApp": {
            "root_dir": str(folder), "ip": "localhost", "base_url": base_url,
            "contents_manager_class": "steadyneedle.lesson_view.contents.OwnFolder", **connecting,
        },
        # it would look for programs to start among a folder's node_modules
        "LanguageServerManager": {"autodetect": False},
        "ContentsManager": {"pre_save_hook": "steadyneedle.lesson_view.saving.keep_plain"},
        "LabApp": {
            "labextensions_path": [str(Path(sys.prefix) / "share" / "jupyter" / "labextensions")],
            "extra_labextensions_path": [],
        },
    }  # fmt: skip


def _of_a_page(room: Path) -> dict[str, Any]:
    """Everything lies in the room, so that nothing of the user's JupyterLab changes."""
    return {
        "extra_labextensions_path": [str(room / "plug-ins")],
        "workspaces_dir": str(room / "workspaces"),
        "user_settings_dir": str(room / "settings"),
    }


def _of_a_notebook(folder: Path, room: Path) -> dict[str, Any]:
    """Plain JupyterLab with the user's own settings; which tabs were open is kept for each working copy."""
    if not user_state.can_hold_files(user_state.state_folder()):
        return {"workspaces_dir": str(room / "workspaces"), "user_settings_dir": str(room / "settings")}
    return {
        "workspaces_dir": str(user_state.state_folder() / "workspaces" / _digest(folder)),
        "user_settings_dir": os.environ.get("JUPYTERLAB_SETTINGS_DIR") or _user_settings(),
    }


def _environment(room: Path, folder: Path, sheets: Path | None) -> dict[str, str | None]:
    """Variables to set, None for those to take away."""
    return {
        **dict.fromkeys(FOREIGN),
        places.WORK_VARIABLE: str(folder),
        places.SHEETS_VARIABLE: str(sheets) if sheets else None,
        "JUPYTER_CONFIG_DIR": str(room / "config"),
        "JUPYTER_PREFER_ENV_PATH": "1",
        **_own_folders(room),
        "IPYTHONDIR": str(room / "ipython"),
        "PYTHONSAFEPATH": "1",
        # a log is judged with many small matrices: shared between threads they take three times as long
        THREADS: os.environ.get(THREADS, "1"),
    }


def _own_folders(room: Path) -> dict[str, str | None]:
    """Where the user's home cannot be written or is full, what JupyterLab keeps for itself lies in the room too."""
    from jupyter_core.paths import jupyter_data_dir

    if user_state.can_hold_files(Path(jupyter_data_dir())):
        return {}
    folders = {"JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "runtime", "MPLCONFIGDIR": "matplotlib"}
    return {name: str(room / folder) for name, folder in folders.items()}


def _kernel(page: bool, first_lines: tuple[str, ...] | None) -> dict[str, Any]:
    """Settings of the kernels: a cell works without the first one, and a page's kernel is warm when it is needed."""
    lines = ["from steadyneedle.teaching.kernel_start import lesson"] if first_lines is None else [*first_lines]
    if page and first_lines is None:
        lines.append("from steadyneedle.teaching.kernel_start import warm; warm(); del warm")
    return {"IPKernelApp": {"exec_lines": lines, "ignore_cwd": True}, "HistoryManager": {"enabled": False}}


def _user_settings() -> str:
    from jupyter_core.paths import jupyter_config_dir

    return str(Path(jupyter_config_dir()) / "lab" / "user-settings")


def _digest(folder: Path) -> str:
    return hashlib.sha256(str(folder).encode("utf-8")).hexdigest()[:16]


def environment_with(settings: dict[str, Any], token: str) -> dict[str, str]:
    """The environment of this process, changed as the settings say; the token stands nowhere else."""
    environment = {**os.environ, "JUPYTER_TOKEN": token}
    for name, value in settings["environment"].items():
        if value is None:
            environment.pop(name, None)
        else:
            environment[name] = value
    return environment


def _write(path: Path, content: dict[str, Any]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(content, indent=1), encoding="utf-8")
