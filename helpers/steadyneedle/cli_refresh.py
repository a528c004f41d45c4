"""The developers' word: lessons and computed datasets afresh."""

from __future__ import annotations

from pathlib import Path

import click

from steadyneedle.terminal import DONE, TO_MEND, refuse, tell


@click.command(short_help="For developers: lessons and computed datasets afresh.")
@click.argument("folder", type=click.Path(path_type=Path, readable=False), required=False)
@click.option(
    "--datasets", "name", is_flag=False, flag_value="all", metavar="[NAME]",
    help="Compute datasets instead, all or the one named.",
)  # fmt: skip
@click.option("--check", is_flag=True, help="Change nothing; name what is stale and exit with 1.")
def refresh(folder: Path | None, name: str | None, check: bool) -> None:
    """Run every lesson afresh and keep its plain outputs: for developers, in the repository.

    FOLDER holds the lessons; left out, those of the repository. A check of the repository looks at the
    computed datasets too, without computing them: has anything changed that they were computed from?
    """
    from steadyneedle.foundation import places
    from steadyneedle.foundation.datasets import DatasetError
    from steadyneedle.foundation.notebooks import NotebookError

    if places.repository() is None:
        refuse(
            "This Steady Needle is installed from a wheel: its lessons and datasets stay as they were made. "
            "Refresh them in a copy of the repository: python3 helpers/start.py refresh"
        )
    if folder is not None and name is not None:
        refuse("Leave FOLDER out with --datasets: it names a folder of lessons.")
    wrong = False
    try:
        if name is not None or (check and folder is None):
            wrong |= _refresh_datasets(name or "all", check)
        if name is None:
            wrong |= _refresh_lessons(folder or places.lessons(), check)
    except (DatasetError, NotebookError) as error:
        refuse(str(error))
    except OSError as error:
        refuse(f"{error.filename or 'A file'} cannot be read or written: {error.strerror or error}.")
    raise click.exceptions.Exit(TO_MEND if wrong else DONE)


def _refresh_datasets(name: str, check: bool) -> bool:
    """Whether something is left to mend."""
    from steadyneedle.refresh import computed

    wrong = False
    for one in computed.named(name):
        if not check:
            computed.refresh(one, tell)
            continue
        why = computed.stale(one)
        wrong |= bool(why)
        mend = f"stale: {why}. To mend that: steadyneedle refresh --datasets {one}"
        tell(f"{one}: {mend if why else 'fresh'}")
    return wrong


def _refresh_lessons(folder: Path, check: bool) -> bool:
    """Whether something is left to mend."""
    from steadyneedle import refresh as refreshing

    stale = refreshing.refresh(folder, check, tell)
    if stale:
        advice = "To mend that: steadyneedle refresh" if check else "First mend what they call."
        tell(f"Still stale: {', '.join(stale)}. {advice}")
    return bool(stale)
