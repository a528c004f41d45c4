"""Set up the workbook and open it, or run its tests. Needs nothing but Python.

    python3 helpers/start.py            set up, then open the lessons
    python3 helpers/start.py test       set up, then run the tests

On Windows type `py helpers\\start.py`. Whatever follows is passed on: `--no-browser`, a folder, another
word of `steadyneedle` such as `ready`, or, after `test`, what pytest takes.
"""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
NEEDED = (3, 11)
WORDS = ("study", "sheets", "trace", "ready", "refresh", "--help", "-h", "--version")


def tell(text):
    print(text, file=sys.stderr, flush=True)


def python():
    """The environment's own Python."""
    return str(ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python"))


def mark(extra):
    """Where it is written what is installed."""
    return ENVIRONMENT / f"steady-needle-{extra or 'study'}.txt"


def works(command):
    try:
        return subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode == 0
    except OSError:
        return False


def no_venv_advice():
    version = "{}.{}".format(*sys.version_info)
    return (
        "This Python cannot make an environment of its own: its venv package is missing.\n"
        f"On Debian or Ubuntu: sudo apt install python{version}-venv   On Fedora: sudo dnf install python3-pip\n"
        "Elsewhere: install Python from your system's usual place. Then type the same line again."
    )


def make_environment():
    if works([python(), "-m", "pip", "--version"]):
        return
    if not works([sys.executable, "-c", "import venv, ensurepip"]):
        raise SystemExit(no_venv_advice())
    tell("Making an environment for the workbook in .venv ...")
    clear = ["--clear"] if ENVIRONMENT.is_dir() else []
    if subprocess.run([sys.executable, "-m", "venv", *clear, str(ENVIRONMENT)]).returncode:
        raise SystemExit("The environment could not be made. " + no_venv_advice())


def wanted(extra):
    """What the environment must hold, as a digest: the project's file, the extra, the Python."""
    text = (ROOT / "pyproject.toml").read_bytes()
    return hashlib.sha256(text + extra.encode() + sys.version.encode()).hexdigest()


def installed(extra):
    try:
        return mark(extra).read_text(encoding="utf-8") == wanted(extra)
    except OSError:
        return False


def install(extra):
    what = "the workbook and what its tests need" if extra else "the workbook"
    tell(f"Installing {what}. The first time takes a few minutes; it goes on where it stopped if you interrupt it.")
    target = str(ROOT) + (f"[{extra}]" if extra else "")
    command = [python(), "-m", "pip", "install", "--disable-pip-version-check", "-e", target]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace")
    try:
        last = show_progress(process)
        status = process.wait()
    except KeyboardInterrupt:
        process.terminate()
        process.wait()
        raise
    if status:
        tell("\n".join(last))
        raise SystemExit(
            "The installation did not finish; the lines above say why. Check the network and the free space, "
            "then type the same line again: what is there already is kept."
        )
    mark(extra).write_text(wanted(extra), encoding="utf-8")
    if extra:  # the tests' environment holds all that the lessons need
        mark("").write_text(wanted(""), encoding="utf-8")


def show_progress(process):
    """One short line a package; the last lines are kept in case it fails."""
    last = []
    for raw in process.stdout:
        line = raw.rstrip()
        last = [*last[-14:], line]
        words = line.split()
        if words[:1] == ["Collecting"] and len(words) > 1:
            tell("  fetching " + words[1].split("<")[0].split(">")[0].split("=")[0].split("!")[0].split("~")[0])
        elif line.startswith("Installing collected packages"):
            tell("  putting them in place ...")
    return last


def hand_over(command):
    """Let the last command take our place, so that Ctrl-C and its exit status are its own."""
    if os.name == "posix":
        os.execv(command[0], command)
    process = subprocess.Popen(command)  # Windows cannot replace a process: wait for it
    while True:
        try:
            return process.wait()
        except KeyboardInterrupt:
            continue


def main(arguments):
    if sys.version_info < NEEDED:
        raise SystemExit(
            "The workbook needs Python 3.11 or newer; this is {}.{}. Install a newer one and type the line "
            "with it, for example: python3.12 helpers/start.py".format(*sys.version_info)
        )
    testing = arguments[:1] == ["test"]
    extra = "test" if testing else ""
    try:
        make_environment()
        if not installed(extra):
            install(extra)
        if testing:
            os.chdir(ROOT)
            status = hand_over([python(), "-m", "pytest", *arguments[1:]])
        else:
            first = [] if arguments[:1] and arguments[0] in WORDS else ["study"]
            status = hand_over([python(), "-m", "steadyneedle.cli", *first, *arguments])
    except KeyboardInterrupt:
        tell("Stopped. Type the same line to go on.")
        status = 130
    raise SystemExit(status if status >= 0 else 128 - status)


if __name__ == "__main__":
    try:
        main(sys.argv[1:])
    except SystemExit as leaving:
        if isinstance(leaving.code, str):
            tell(leaving.code)
            sys.exit(2)
        raise
