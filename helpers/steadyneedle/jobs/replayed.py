"""Whether a path can have happened: each test of a job shows one thing at its turn, on every machine."""

from __future__ import annotations

from steadyneedle.foundation.text_files import printable
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import AT_THE_STOP, CRITICAL, NO_RELIEF, JobPath, PathError
from steadyneedle.jobs.play import seen

OTHERWISE = "It was changed, or comes from another version of this workbook"


def check_happened(path: JobPath) -> None:
    """Refuse a path that its job cannot have shown.

    Parameters
    ----------
    path : JobPath
        Of tests, outcomes and causes that its design has.

    Raises
    ------
    PathError
        Another first stage than the job's, a test that showed something else, a needle that was not at the stop.

    Examples
    --------
    >>> check_happened(JobPath(1, "Hazel"))
    Traceback (most recent call last):
    steadyneedle.jobs.path.PathError: Job 1 is a Juniper, and the path tells of a Hazel. It was changed, or comes from \
another version of this workbook.
    """
    design = job(path.job).design
    if path.design != design:
        raise PathError(f"Job {path.job} is a {design}, and the path tells of a {printable(path.design)}. {OTHERWISE}.")
    for turn, (test, outcome) in enumerate(path.findings):
        shows = seen(path.job, test, turn).outcome
        if outcome != shows:
            raise PathError(
                f"In job {path.job} test {turn + 1} ({test}) shows '{shows}', "
                f"and the path says '{printable(outcome)}'. {OTHERWISE}."
            )
    if path.because == NO_RELIEF and path.fatal != "blank":
        raise PathError(f"Nobody fits a relief valve for '{printable(path.fatal)}'. {OTHERWISE}.")
    if path.end == CRITICAL and path.because == AT_THE_STOP and not seen(path.job, path.fatal, len(path.steps)).at_stop:
        raise PathError(f"In job {path.job} the needle is not at the stop in '{path.fatal}'. {OTHERWISE}.")
