"""Set up the workbook and open it, or run its tests. Needs nothing but Python.

    python3 helpers/start.py            set up, then open the lessons
    python3 helpers/start.py test       set up, then run the tests

On Windows type `py helpers\\start.py`. Whatever follows is passed on: `--no-browser`, a folder, another
word of `steadyneedle` such as `ready`, or, after `test`, what pytest takes.
"""

from __future__ import print_function

import sys

NEEDED = (3, 11)
if sys.version_info < NEEDED and __name__ == "__main__":  # said in words that any Python understands
    sys.stderr.write(
        "The workbook needs Python 3.11 or newer; this is {}.{}. Install a newer one and type the line "
        "with it, for example: python3.12 helpers/start.py\n".format(*sys.version_info)
    )
    sys.exit(2)

import signal

if __name__ == "__main__":  # while the rest loads, Ctrl-C just ends this, which a shell calls status 130
    signal.signal(signal.SIGINT, signal.SIG_DFL)

import hashlib
import os
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
UNFINISHED = ROOT / ".venv-unfinished"
"""There from before the first file of a set-up until after its last one: a set-up that was stopped leaves it."""

WORDS = ("study", "sheets", "trace", "ready", "papers", "sit", "mark", "refresh", "--help", "-h", "--version")


def tell(text):
    print(text, file=sys.stderr, flush=True)


def python():
    """The environment's own Python."""
    return str(ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python"))


def mark(extra):
    """Where it is written what is installed."""
    return ENVIRONMENT / "steady-needle-{}.txt".format(extra or "study")


def works(command):
    # -P, here and below: no module of the folder that one happens to stand in is taken for one of Python's
    try:
        return subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode == 0
    except OSError:
        return False


def no_venv_advice():
    version = "{}.{}".format(*sys.version_info)
    return (
        "This Python cannot make an environment of its own: its venv package is missing.\n"
        "On Debian or Ubuntu: sudo apt install python{}-venv   On Fedora: sudo dnf install python3-pip\n"
        "Elsewhere: install Python from your system's usual place. Then type the same line again."
    ).format(version)


def make_environment():
    """An environment that is whole: one whose set-up was stopped half-way is made afresh."""
    for place, what in ((ENVIRONMENT, "the environment"), (UNFINISHED, "a mark of the set-up")):
        if place.exists() and place.is_dir() != (place == ENVIRONMENT):
            raise SystemExit(
                "{} stands where {} belongs. Rename it, then type the same line again.".format(place, what)
            )
    stopped = UNFINISHED.exists()
    if not stopped and works([python(), "-P", "-m", "pip", "--version"]):
        return
    if not works([sys.executable, "-P", "-c", "import venv, ensurepip"]):
        raise SystemExit(no_venv_advice())
    begin()
    if stopped:
        tell("The last set-up was stopped before its end: making the environment afresh. What was fetched is kept.")
    else:
        tell("Making an environment for the workbook in .venv ...")
    clear = ["--clear"] if ENVIRONMENT.is_dir() else []
    command = [sys.executable, "-P", "-m", "venv"] + clear + [str(ENVIRONMENT)]
    made = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace")
    if made.returncode:
        raise SystemExit(cause(made.stdout, "The environment could not be made.") + "\n" + made.stdout.strip()[-600:])


UNDER_WAY = []
"""The mark of our own set-up, open and locked: the lock goes with the process, however that ends."""


def begin():
    """Leave the mark of a set-up under way; refuse where another one is."""
    if UNDER_WAY:
        return
    try:
        file = UNFINISHED.open("a", encoding="utf-8")
    except OSError as error:
        raise SystemExit(cause(str(error), "The set-up cannot begin: {}.".format(error.strerror)))
    try:
        lock(file)
    except OSError:
        raise SystemExit(
            "Another set-up of this workbook is under way. Wait for its end, then type the same line again."
        )
    UNDER_WAY.append(file)


def lock(file):
    if os.name == "posix":
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    else:
        import msvcrt

        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)


def end():
    """The set-up is whole: its mark goes."""
    UNDER_WAY.pop().close()
    UNFINISHED.unlink()


def dies_with_us():
    """Where the system can, pip ends when we do: one left behind would write into the next set-up."""
    if sys.platform.startswith("linux"):
        import ctypes
        import signal

        ctypes.CDLL(None).prctl(1, signal.SIGKILL)  # PR_SET_PDEATHSIG


CAUSES = (
    (("No space left on device", "Disk quota exceeded", "not enough space on the disk"),
     "The disk is full. Free a gigabyte, then type the same line again."),
    (("Read-only file system", "Permission denied", "Access is denied", "PermissionError"),
     "This folder cannot be written: {}. Copy the workbook to a folder of your own and type the line there."),
    (("Name or service not known", "Temporary failure in name resolution", "getaddrinfo failed", "NewConnectionError",
      "Network is unreachable", "Connection refused", "ConnectTimeoutError", "ReadTimeoutError", "Max retries exceeded",
      "ProxyError", "SSLError", "from versions: none"),
     "The network did not answer. Check that this machine is online, then type the same line again."),
)  # fmt: skip


def cause(output, otherwise):
    """The first line of a failure: what stands in the way and what to do, read from what was printed."""
    for signs, sentence in CAUSES:
        if any(sign in output for sign in signs):
            return sentence.format(ROOT)
    return otherwise


def wanted(extra):
    """What the environment must hold, as a digest: the project's file, the extra, the Python."""
    text = (ROOT / "pyproject.toml").read_bytes()
    return hashlib.sha256(text + extra.encode() + sys.version.encode()).hexdigest()


def installed(extra):
    try:
        return mark(extra).read_text(encoding="utf-8") == wanted(extra)
    except OSError:
        return False


def damaged():
    """Packages of which a file is missing or has another length than when it was laid, as `name==version`."""
    found = []
    for pattern in ("lib/python*/site-packages/*.dist-info/RECORD", "Lib/site-packages/*.dist-info/RECORD"):
        for record in sorted(ENVIRONMENT.glob(pattern)):
            name, _, version = record.parent.name[: -len(".dist-info")].rpartition("-")
            if not is_whole(record):
                found.append("{}=={}".format(name, version))
    return found


def is_whole(record):
    """Whether the files of a package are as long as its own record says; those that Python makes are left out."""
    import csv

    try:
        with record.open(encoding="utf-8", newline="") as file:
            rows = [row for row in csv.reader(file) if len(row) == 3 and row[2].isdigit()]
        kept = [row for row in rows if not row[0].endswith((".pyc", "kernels/python3/kernel.json"))]
        return all((record.parent.parent / path).stat().st_size == int(size) for path, _, size in kept)
    except (OSError, ValueError):
        return False


def mend(extra):
    """Lay damaged packages again; without a network the lessons may still open, so go on with what is there."""
    broken = damaged()
    if not broken:
        return
    tell("Damaged since the set-up: {}. Laying it again ...".format(", ".join(broken)))
    if any(one.startswith("steadyneedle==") for one in broken):
        mark(extra).unlink()  # our own package is laid from this folder, not from the network
    others = [one for one in broken if not one.startswith("steadyneedle==")]
    if not others:
        return
    begin()
    again = ["install", "--disable-pip-version-check", "--force-reinstall", "--no-deps"] + others
    if not works([python(), "-P", "-m", "pip"] + again):
        tell("It could not be laid again. Check that this machine is online, then type the same line again.")
    end()


def install(extra):
    what = "the workbook and what its tests need" if extra else "the workbook"
    tell("Installing {}. The first time takes a few minutes; it mends itself if you interrupt it.".format(what))
    begin()
    target = str(ROOT) + ("[{}]".format(extra) if extra else "")
    command = [python(), "-P", "-m", "pip", "install", "--disable-pip-version-check", "-e", target]
    after_fork = {"preexec_fn": dies_with_us} if os.name == "posix" else {}
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace", **after_fork
    )
    try:
        last = show_progress(process)
        status = process.wait()
    except KeyboardInterrupt:
        process.terminate()
        process.wait()
        raise
    if status:
        tell(cause("\n".join(last), "The installation did not finish; the lines below say why."))
        tell("\n".join(last))
        raise SystemExit("Nothing was opened. Type the same line again once that is mended.")
    mark(extra).write_text(wanted(extra), encoding="utf-8")
    if extra:  # the tests' environment holds all that the lessons need
        mark("").write_text(wanted(""), encoding="utf-8")
    end()


def show_progress(process):
    """One short line a package; the last lines are kept in case it fails."""
    last = []
    for raw in process.stdout:
        line = raw.rstrip()
        last = last[-14:] + [line]
        words = line.split()
        if words[:1] == ["Collecting"] and len(words) > 1:
            tell("  fetching " + words[1].split("<")[0].split(">")[0].split("=")[0].split("!")[0].split("~")[0])
        elif line.startswith("Installing collected packages"):
            tell("  putting them in place ...")
    return last


def typed():
    """What begins the line that was typed, so that it can be typed again in any folder."""
    script = str(Path(__file__).resolve())
    if os.name != "posix":
        return 'py "{}"'.format(script) if " " in script else "py " + script
    import shlex
    import shutil

    name = Path(sys.executable).name
    known = shutil.which(name)
    same = known is not None and os.path.realpath(known) == os.path.realpath(sys.executable)
    return " ".join(map(shlex.quote, [name if same else sys.executable, script]))


def hand_over(command):
    """Let the last command take our place, so that Ctrl-C and its exit status are its own."""
    if command[2:4] == ["-m", "steadyneedle.cli"]:
        os.environ["STEADYNEEDLE_TYPED"] = typed()  # its sentences say what to type again
    if os.name == "posix":
        os.execv(command[0], command)
    process = subprocess.Popen(command)  # Windows cannot replace a process: wait for it
    while True:
        try:
            return process.wait()
        except KeyboardInterrupt:
            continue


def main(arguments):
    testing = arguments[:1] == ["test"]
    extra = "test" if testing else ""
    try:
        make_environment()
        if installed(extra):
            mend(extra)
        if not installed(extra):
            install(extra)
        if testing:
            os.chdir(ROOT)
            status = hand_over([python(), "-P", "-m", "pytest"] + arguments[1:])
        else:
            first = [] if arguments[:1] and arguments[0] in WORDS else ["study"]
            status = hand_over([python(), "-P", "-m", "steadyneedle.cli"] + first + arguments)
    except KeyboardInterrupt:
        tell("Stopped. Type the same line to go on.")
        status = 130
    raise SystemExit(status if status >= 0 else 128 - status)


if __name__ == "__main__":
    try:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        main(sys.argv[1:])
    except SystemExit as leaving:
        if isinstance(leaving.code, str):
            tell(leaving.code)
            sys.exit(2)
        raise
