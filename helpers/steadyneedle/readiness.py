"""Whether this machine can run the lessons, a finding for each thing, with the command that mends it."""

from __future__ import annotations

import importlib.util
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from packaging.requirements import Requirement

from steadyneedle.foundation import notebooks, places
from steadyneedle.foundation.whole_files import changed_files

NEEDED_PYTHON = (3, 11)


@dataclass(frozen=True)
class Finding:
    """One line of the readiness report; `mend` is the command that mends it."""

    good: bool
    what: str
    mend: str = ""


def findings(folder: Path) -> Iterator[Finding]:
    """Whether Python, packages, kernel, widgets, fonts and the folder are as needed."""
    version = ".".join(map(str, sys.version_info[:3]))
    yield Finding(
        sys.version_info >= NEEDED_PYTHON,
        f"Python {version}, needs 3.11 or newer",
        "Install Python 3.11 or newer.",
    )
    yield from _packages()
    yield from _whole()
    yield _page()
    yield _kernel()
    yield _widgets()
    yield _fonts()
    yield _write_access(folder)
    try:
        yield from _kept_work(folder)
    except (ImportError, AttributeError, SyntaxError, ValueError):  # whatever a package of which a part is gone raises
        again = f"Mend the packages first, then: steadyneedle ready {folder}"
        yield Finding(False, "your earlier work cannot be looked at: a package that reads it is damaged", again)
    yield from _lessons(folder)


def damaged_packages() -> list[str]:
    """What of the installed packages is missing or changed, a line for each."""
    return [finding.what for finding in _whole() if not finding.good]


def _pip(arguments: str) -> str:
    return f"{Path(sys.executable).as_posix()} -m pip install {arguments}"


def _packages() -> Iterator[Finding]:
    for line in metadata.requires("steadyneedle") or ():
        need = Requirement(line)
        if need.marker is not None and not need.marker.evaluate({"extra": ""}):
            continue
        try:
            have = metadata.version(need.name)
        except metadata.PackageNotFoundError:
            yield Finding(
                False,
                f"{need.name} is missing, needs {need.specifier}",
                _pip(f'"{need.name}{need.specifier}"'),
            )
            continue
        good = need.specifier.contains(have, prereleases=True)
        yield Finding(good, f"{need.name} {have}, needs {need.specifier}", _pip(f'"{need.name}{need.specifier}"'))


def _whole() -> Iterator[Finding]:
    """Every installed package against its own record of files: a set-up that was stopped, a disk that failed."""
    places_of_ours = [path for path in sys.path if Path(path).is_relative_to(sys.prefix)]
    count = damaged = 0
    for one in metadata.distributions(path=places_of_ours):
        count += 1
        changed = changed_files(one)
        if changed:
            damaged += 1
            name, more = one.name or "a package", f" and {len(changed) - 1} more" if len(changed) > 1 else ""
            again = _pip(f'--force-reinstall --no-deps "{name}=={one.version}"')
            yield Finding(False, f"{name} is damaged: {changed[0]}{more} missing or changed", again)
    if not damaged:
        yield Finding(True, f"all files of {count} packages are as they were laid")


def _page() -> Finding:
    """What JupyterLab's first page names must be there: without it every address is an error."""
    static = Path(sys.prefix) / "share" / "jupyter" / "lab" / "static"
    mend = _pip("--force-reinstall jupyterlab")
    try:
        named = re.findall(r"fullStaticUrl *}}/([^\"?]+)", (static / "index.html").read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError):
        return Finding(False, "JupyterLab's page is missing", mend)
    missing = [name for name in named if not (static / name).is_file()]
    if missing or not named:
        return Finding(False, f"JupyterLab's page is not whole: missing {', '.join(missing) or 'its script'}", mend)
    return Finding(True, "JupyterLab's page is there")


_TRY_THE_KERNEL = """
import jupyter_client.manager
manager, client = jupyter_client.manager.start_new_kernel(kernel_name="python3", startup_timeout=60)
client.execute_interactive("import steadyneedle, sys; print(sys.executable)", timeout=60)
client.stop_channels()
manager.shutdown_kernel(now=True)
"""


def _kernel() -> Finding:
    """Start the kernel the lessons name and compute with it."""
    me = Path(sys.executable)
    mend = f"{_pip('--force-reinstall ipykernel')} && {me.as_posix()} -m ipykernel install --sys-prefix"
    apart = {**os.environ, "PYTHONSAFEPATH": "1"}  # no module of the folder we stand in
    try:
        done = subprocess.run(
            [sys.executable, "-P", "-c", _TRY_THE_KERNEL], capture_output=True, text=True, timeout=150, env=apart
        )
    except subprocess.TimeoutExpired:
        return Finding(False, "kernel python3 does not answer", mend)
    lines = done.stdout.strip().splitlines()
    if done.returncode or not lines:
        return Finding(False, "kernel python3 does not start or does not know steadyneedle", mend)
    if Path(lines[-1]).resolve() != me.resolve():
        return Finding(False, f"kernel python3 runs another Python: {lines[-1]}", mend)
    return Finding(True, "kernel python3 starts and knows steadyneedle")


def _widgets() -> Finding:
    place = Path(sys.prefix) / "share" / "jupyter" / "labextensions"
    names = ("@jupyter-widgets/jupyterlab-manager", "anywidget")
    missing = [name for name in names if not (place / name / "package.json").is_file()]
    what = f"widgets in JupyterLab{': missing ' + ', '.join(missing) if missing else ''}"
    return Finding(not missing, what, _pip("--force-reinstall jupyterlab_widgets anywidget"))


def _fonts() -> Finding:
    found = importlib.util.find_spec("matplotlib")
    path = Path(found.origin or "").parent / "mpl-data" / "fonts" / "ttf" / "DejaVuSans.ttf" if found else Path()
    return Finding(path.is_file(), "font DejaVu Sans for pictures", _pip("--force-reinstall matplotlib"))


def _write_access(folder: Path) -> Finding:
    place = folder if folder.is_dir() else folder.parent
    if folder.exists() and not folder.is_dir():
        return Finding(False, f"{folder} is a file", "Name another folder: steadyneedle study FOLDER")
    try:
        with tempfile.NamedTemporaryFile(dir=place):
            pass
    except OSError as error:
        return Finding(
            False,
            f"may not write in {place}: {error.strerror}",
            "Name another folder: steadyneedle study FOLDER",
        )
    return Finding(True, f"may write in {place}")


def _kept_work(folder: Path) -> Iterator[Finding]:
    """The learner's file is only looked at: what cannot be read is set aside when a lesson opens, not here."""
    from steadyneedle.teaching.learner.progress import FILE, Progress

    if os.path.lexists(folder / FILE):
        wrong = Progress(folder).look()
        yield Finding(not wrong, wrong or f"{FILE} can be read", f"steadyneedle study {folder}")


def _lessons(folder: Path) -> Iterator[Finding]:
    """The lessons of a working copy; those as shipped are files of ours."""
    names = [path.name for path in sorted(places.lessons().glob("*.ipynb")) if os.path.lexists(folder / path.name)]
    wrong = 0
    for name in names:
        try:
            notebooks.read_own(folder / name)
        except notebooks.NotebookError as error:
            wrong += 1
            yield Finding(
                False, f"{error} It will be kept, and a fresh one laid beside it", f"steadyneedle study {folder}"
            )
    if names and not wrong:
        yield Finding(True, f"{len(names)} lessons can be read")
