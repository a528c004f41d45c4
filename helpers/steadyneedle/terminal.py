"""What the commands share: exit statuses, saying, refusing, and the folder that a person named."""

from __future__ import annotations

import io
import os
import sys
from pathlib import Path
from typing import Any, NoReturn

import click

from steadyneedle.foundation.text_files import printable

DONE, TO_MEND, BAD_USE, STOPPED = 0, 1, 2, 130
A_PATH = click.Path(path_type=Path, readable=False)
"""Whatever is named: what stands in the way is said in words of ours."""


class Port(click.IntRange):
    """A port; what is none is refused with what to type."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The port as a number."""
        try:
            return super().convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"'{printable(str(value), 20)}' is no port. Type a number, for example --port 8899.", param, ctx)


def show_any_letter() -> None:
    """Letters that a terminal's character set lacks are shown as question marks: a name in a sheet stops nothing."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and stream.errors != "surrogateescape":
            stream.reconfigure(errors="replace")


def tell(text: str) -> None:
    """Say something beside what a command prints."""
    click.echo(text, err=True)


def show(text: str) -> None:
    """Print a result; where whoever read them has gone, as `head` does, what else is to be said is still said."""
    try:
        click.echo(text)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)


def refuse(text: str) -> NoReturn:
    """Say what is wrong, and end."""
    tell(text)
    raise click.exceptions.Exit(BAD_USE)


def place(path: Path) -> Path:
    """The whole path of what a person named; refused where no system can hold it."""
    try:
        whole = path.expanduser().absolute()
        whole.exists()
    except RuntimeError:  # ~somebody, or ~ without a home
        refuse(f"{path}: nobody knows that home folder. Write the whole path instead of ~.")
    except FileNotFoundError:
        refuse("The folder you stand in is gone. Change to another one, then type the line again.")
    except (OSError, ValueError) as error:
        refuse(f"{printable(str(path))} cannot be used: {getattr(error, 'strerror', None) or error}. Name another.")
    try:
        whole.resolve()
    except (OSError, RuntimeError):  # before Python 3.13 a loop is a RuntimeError
        refuse(f"{printable(str(path))} is a link that leads back to itself. Name another.")
    return whole
