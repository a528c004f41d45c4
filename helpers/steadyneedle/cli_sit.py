"""`steadyneedle sit`: one candidate, one paper."""

from __future__ import annotations

from pathlib import Path

import click

from steadyneedle.terminal import A_PATH, TO_MEND, Port, place, refuse, tell


@click.command(short_help="Sit a paper: saved as you type, handed in as one file.")
@click.argument("paper", type=A_PATH)
@click.option("--no-browser", is_flag=True, help="Print the address, open no browser.")
@click.option("--port", type=Port(1, 65535), metavar="NUMBER", help="Port to listen on.")
def sit(paper: Path, no_browser: bool, port: int | None) -> None:
    """Sit a paper: it opens in a browser, and what you type is saved as you type it.

    PAPER is the notebook you were given. Your answers are kept in a file beside it; Hand in writes
    the one file that you give away.
    """
    from steadyneedle.assessing.paper_file import PaperError
    from steadyneedle.lesson_view import running
    from steadyneedle.sitting import sit as show
    from steadyneedle.sitting_desk import SittingError

    try:
        status = show(place(paper), tell, browser=not no_browser, port=port)
    except (PaperError, SittingError, running.PortError) as error:
        refuse(str(error))
    except running.LaunchError as error:
        tell(str(error))
        status = TO_MEND
    raise click.exceptions.Exit(status)
