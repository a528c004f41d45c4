"""The words a person types. Besides `terminal` and the other `cli_...`, nothing else knows about the terminal."""

from __future__ import annotations

import contextlib
import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NoReturn

_INTERRUPT = signal.getsignal(signal.SIGINT)
with contextlib.suppress(ValueError):  # while packages load, Ctrl-C just ends this, which a shell calls status 130
    signal.signal(signal.SIGINT, signal.SIG_DFL)
SET_UP_AGAIN = "Type the line that set up the workbook, python3 helpers/start.py: it lays again what is missing."

try:
    import click

    import steadyneedle
    from steadyneedle.cli_mark import mark
    from steadyneedle.cli_papers import papers
    from steadyneedle.cli_refresh import refresh
    from steadyneedle.cli_sit import sit
    from steadyneedle.foundation.text_files import printable
    from steadyneedle.terminal import (
        A_PATH,
        BAD_USE,
        DONE,
        STOPPED,
        TO_MEND,
        Port,
        place,
        refuse,
        show_any_letter,
        tell,
    )  # fmt: skip
except (ImportError, AttributeError, SyntaxError, ValueError) as damage:  # what an import of half a package raises
    sys.exit(f"The workbook's packages are damaged: {damage}. {SET_UP_AGAIN}")


class _Words(click.Group):
    """Commands in the order they are written, not of the alphabet: the first is the one to begin with."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.commands)


SETTINGS = {"help_option_names": ["-h", "--help"], "max_content_width": 100}
GOES_ON = " What was written is whole. Type the same line again: it goes on."
WORK_FOLDER = "steady-needle-work"
OPTIONS = {
    "columns": " Or say what the columns hold: --columns time_s,pressure_bar.",
    "decimal": " Or name the decimal mark: --decimal comma, or --decimal point.",
}
"""How the command lets a person settle what a log leaves open, by `LogError.mend`."""


def _say_version(context: click.Context, _: click.Parameter, asked: bool) -> None:
    """Version, and eight letters that tell two checkouts of it apart: record and notebooks of a marking name both."""
    if not asked or context.resilient_parsing:
        return
    from steadyneedle.assessing.which_workbook import workbook_in_words

    which = steadyneedle.__version__
    with contextlib.suppress(OSError):  # lessons or datasets are missing, which `ready` says
        which = workbook_in_words()
    click.echo(f"steadyneedle {which}")
    context.exit()


@click.group(cls=_Words, context_settings=SETTINGS)
@click.option(
    "--version", is_flag=True, is_eager=True, expose_value=False, callback=_say_version,
    help="Show the version and exit.",
)  # fmt: skip
def words() -> None:
    """A workbook for courses that train breathing-regulator technicians.

    Start with: steadyneedle study
    """


@words.command(short_help="Open the lessons in a browser.")
@click.argument("folder", type=A_PATH, default=WORK_FOLDER)
@click.option("--sheets", type=A_PATH, metavar="FOLDER", help="Your own specification sheets, as CSV files.")
@click.option("--cleaning", type=A_PATH, metavar="FILE", help="Your own cleaning rules, a CSV file.")
@click.option("--instructor", is_flag=True, help="Lay the instructor's pages too: timing, answers, questions to ask.")
@click.option("--as-notebook", is_flag=True, help="Open plain JupyterLab: cells, code and menus.")
@click.option("--present", is_flag=True, help="Show lessons to a class, on a wall; your notes open in a second window.")
@click.option("--no-browser", is_flag=True, help="Print the address, open no browser.")
@click.option("--port", type=Port(1, 65535), metavar="NUMBER", help="Port to listen on.")
def study(
    folder: Path,
    sheets: Path | None,
    cleaning: Path | None,
    instructor: bool,
    as_notebook: bool,
    present: bool,
    no_browser: bool,
    port: int | None,
) -> None:
    """Open the lessons where you left them, in a working copy of your own.

    FOLDER holds the working copy (default steady-needle-work). It is made if it is missing and
    brought up to date if it is there; lessons you changed are kept.
    """
    from steadyneedle import workplace
    from steadyneedle.lesson_view import launch, running

    if present and as_notebook:
        refuse("A class sees lessons as pages. Leave --as-notebook out, or --present.")
    instructor = instructor or present
    folder = place(folder)
    if folder.exists() and not folder.is_dir():
        refuse(f"{folder} is a file. Name a folder for your working copy.")
    own = _own_files(sheets, cleaning)
    try:
        if port is not None:
            running.check_port(port)
        changes = workplace.update_copy(folder, instructor=instructor)
        tell(f"Your working copy: {folder}")
        for change in changes:
            tell(f"  {change.lesson}: {change.what}")
        if not changes:
            tell("  Nothing new since last time.")
        left = workplace.left_at(folder)
        _tell_what_is_damaged(left.wrong)
        tell("Leave this window open while you work; press Ctrl-C here when you are done. The lessons are at")
        view = launch.NOTEBOOK if as_notebook else launch.PRESENT if present else launch.PAGE
        status = running.open_lab(
            folder, left.lesson, tell, view=view, browser=not no_browser, port=port,
            **own, instructor=instructor, ground=left.ground,
        )  # fmt: skip
    except (workplace.WorkplaceError, running.PortError) as error:
        refuse(str(error))
    except OSError as error:
        refuse(f"{error.filename or folder} cannot be read or written: {error.strerror or error}.")
    except running.LaunchError as error:
        tell(str(error))
        status = TO_MEND
    raise click.exceptions.Exit(status)


def _own_files(sheets: Path | None, cleaning: Path | None) -> dict[str, Any]:
    """The instructor's own sheets and cleaning rules, after what is accepted was said; refused where they are wrong."""
    from steadyneedle.foundation.rules_file import CLEANING_VARIABLE

    own: dict[str, Any] = {}
    if sheets is not None:
        own["sheets"] = place(sheets)
        _print_sheets(own["sheets"], tell)
    if cleaning is not None:
        file = place(cleaning)
        _print_rules(file)
        own["variables"] = {CLEANING_VARIABLE: str(file)}
    return own


def _tell_what_is_damaged(wrong: str) -> None:
    """What of the learner's file cannot be read, if anything: the lesson sets it aside and says so too."""
    if wrong:
        tell(f"  {wrong}" + ("" if wrong.endswith(".") else ". The lesson keeps the file as it is under another name."))


@words.command(short_help="Check specification sheets.")
@click.argument("folder", type=A_PATH, required=False)
def sheets(folder: Path | None) -> None:
    """Check specification sheets: list what is accepted, say everything that is wrong.

    FOLDER holds your sheets as CSV files, or is one; left out, the invented example is checked.
    """
    from steadyneedle.foundation import places

    _print_sheets(place(folder or places.sheets()), click.echo)


@words.command(short_help="Check that this machine can run the lessons.")
@click.argument("folder", type=A_PATH, default=WORK_FOLDER)
def ready(folder: Path) -> None:
    """Check that this machine can run the lessons, a line for each thing.

    What is wrong comes with the command that mends it. FOLDER is the working copy you mean to use.
    """
    from steadyneedle import readiness

    wrong = 0
    for finding in readiness.findings(place(folder)):
        click.echo(f"{'ok  ' if finding.good else 'MEND'}  {finding.what}")
        if not finding.good:
            wrong += 1
            click.echo(f"      {finding.mend}")
    click.echo("Ready." if not wrong else f"{wrong} to mend; the command stands below each.")
    raise click.exceptions.Exit(TO_MEND if wrong else DONE)


@words.command(short_help="Judge a gauge log: conforms or not; locks, settles, creeps, falls, or cannot tell.")
@click.argument("log", type=A_PATH)
@click.option("--sheet", "name", help="Judge by this row of the specification sheets.")
@click.option("--sheets", "folder", type=A_PATH, help="Folder of your own sheets; needs --sheet.")
@click.option("--columns", help="What the columns hold, for example time_ms,skip,pressure_bar.")
@click.option("--decimal", type=click.Choice(["comma", "point"]), help="The decimal mark, where no number shows it.")
@click.option("--picture", type=A_PATH, help="Write a picture of the log and the verdict, PNG.")
@click.option("--json", "as_json", is_flag=True, help="Print the verdict as JSON.")
def trace(
    log: Path,
    name: str | None,
    folder: Path | None,
    columns: str | None,
    decimal: str | None,
    picture: Path | None,
    as_json: bool,
) -> None:
    """Judge a gauge log: does the regulator conform; does its needle lock, settle, creep, fall, or cannot one tell.

    LOG is a CSV file with a header that names time and pressure with their units: time_s,pressure_bar.
    """
    from steadyneedle.bench.sheets import load_sheets
    from steadyneedle.bench.trace import LogError, judge_trace, read_log
    from steadyneedle.foundation import places

    try:
        sheet = None
        if name is not None:
            loaded = load_sheets(place(folder or places.sheets()))
            if name not in loaded:
                raise ValueError(f"There is no sheet '{name}'; there are {', '.join(loaded)}.")
            sheet = loaded[name]
        elif folder is not None:
            raise ValueError("Name the row of your sheets too: --sheet NAME.")
        read = read_log(place(log), columns.split(",") if columns else None, decimal)
        verdict = judge_trace(read, sheet)
    except LogError as error:
        refuse(f"{error}{OPTIONS.get(error.mend, '')}")
    except ValueError as error:
        refuse(str(error))
    if picture is not None:
        _write_picture(place(picture), read, verdict, sheet)
    if as_json:
        import json

        click.echo(json.dumps(verdict.as_json(), indent=2))
    else:
        for line in verdict.lines():
            click.echo(line)


def _write_picture(path: Path, log: Any, verdict: Any, sheet: Any) -> None:
    import datetime

    from steadyneedle.foundation.elsewhere import elsewhere
    from steadyneedle.foundation.store import write_atomically

    os.environ["MPLBACKEND"] = "agg"  # whatever window a shell is set up for, none is opened
    with elsewhere():
        from steadyneedle.teaching.figures.drawing import png_of
        from steadyneedle.teaching.figures.log import WALL_DPI, log_figure

    if path.suffix.lower() != ".png":
        refuse(f"{path.name}: the picture is a PNG. Name it so, for example {path.stem or 'log'}.png.")
    if path.exists() and not path.is_file() and not path.is_dir():
        refuse(f"{path} is a pipe or a device. Name a file for the picture.")
    try:
        figure = log_figure(log, verdict, sheet, judged_on=datetime.date.today())
        write_atomically(path, png_of(figure, WALL_DPI))
    except OSError as error:
        refuse(f"{path} cannot be written: {error.strerror or error}.")
    tell(f"Picture: {path}")


words.add_command(papers)
words.add_command(sit)
words.add_command(mark)
words.add_command(refresh)


def _print_sheets(folder: Path, out: Callable[[str], None]) -> None:
    from steadyneedle.bench.sheets import load_sheets
    from steadyneedle.bench.units import formatted

    try:
        loaded = load_sheets(folder)
    except ValueError as error:
        refuse(str(error))
    for sheet in loaded.values():
        band = "no IP band"
        if sheet.band is not None:
            band = f"IP {formatted(sheet.band.low)} to {formatted(sheet.band.high)}"
        out(f"Accepted: {sheet.name}, {band}")
        for warning in sheet.warnings:
            out(f"  Note: {warning}")


def _print_rules(file: Path) -> None:
    """Say which rows of a file of cleaning rules are accepted; refuse what cannot be used."""
    from steadyneedle.bench.cleaning import read_rules

    try:
        rules = read_rules(file)
    except ValueError as error:
        refuse(str(error))
    for rule in rules.own:
        tell(f"Accepted: {rules.named(rule)}")


def main(arguments: list[str] | None = None) -> NoReturn:
    """The door: exit status 0 done, 1 something to mend, 2 bad input or use, 130 after Ctrl-C."""
    show_any_letter()
    try:
        status = words.main(arguments, prog_name="steadyneedle", standalone_mode=False)
        if sys.stdout is not None:  # a shell may close it
            sys.stdout.flush()
    except click.NoSuchCommand as error:
        near = f" Did you mean '{error.possibilities[0]}'?" if error.possibilities else ""
        tell(f"There is no command '{error.command_name}'.{near} steadyneedle --help lists them all.")
        status = BAD_USE
    except click.ClickException as error:
        tell(error.format_message())
        status = BAD_USE
    except (click.Abort, KeyboardInterrupt):
        typed = sys.argv[1:] if arguments is None else arguments
        tell(f"Stopped.{GOES_ON if typed[:1] in (['papers'], ['mark']) else ''}")
        status = STOPPED
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # nor does Python try to write the rest at its end
        what = printable(str(error.filename)) if error.filename else "What this command prints"
        with contextlib.suppress(OSError):  # it may be this very place that is full
            tell(f"{what} cannot be written or read: {error.strerror or error}.")
        status = TO_MEND
    except Exception as error:
        _say_damage(error)
        status = TO_MEND
    sys.exit(status if isinstance(status, int) else DONE)


def _say_damage(error: Exception) -> None:
    """What raised because a package is not whole is said; anything else is a fault of ours, and raised again."""
    from steadyneedle.readiness import damaged_packages

    damaged = damaged_packages()
    if not damaged and not isinstance(error, ImportError):
        raise error
    what = printable(damaged[0] if damaged else str(error), 200)
    tell(f"The workbook's packages are not whole: {what}. {SET_UP_AGAIN}")


with contextlib.suppress(ValueError, TypeError):
    signal.signal(signal.SIGINT, _INTERRUPT)

if __name__ == "__main__":
    main()
