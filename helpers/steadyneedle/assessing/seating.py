"""Who is to be seated apart: candidates whose papers hold the same job."""

from __future__ import annotations

from collections.abc import Sequence

from steadyneedle.assessing.edition import Edition


def same_job(edition: Edition, candidates: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Candidates who meet the same job on the bench as one of a roster, whatever roster they stood in themselves.

    Parameters
    ----------
    edition : Edition
        All that was issued of one paper and attempt.
    candidates : sequence of str
        Those of the roster.

    Returns
    -------
    tuple of tuple of str
        One for each job that several of them meet, by their numbers; empty where the paper has no job.

    Examples
    --------
    >>> from steadyneedle.assessing.plan_file import load_plan
    >>> same_job(Edition(load_plan("units and bands")), ["101"])
    ()
    """
    by_job: dict[int, dict[str, None]] = {}
    for candidate in sorted(edition.papers, key=lambda one: (int(one), one)):
        for number in edition.jobs(candidate):
            by_job.setdefault(number, {})[candidate] = None
    asked = set(candidates)
    return tuple(tuple(met) for met in by_job.values() if len(met) > 1 and asked & set(met))


def seat_apart(candidates: tuple[str, ...]) -> str:
    """One group of them in a sentence.

    >>> seat_apart(("302", "303", "7"))
    'Seat apart: 302, 303 and 7 (same job)'
    """
    return f"Seat apart: {', '.join(candidates[:-1])} and {candidates[-1]} (same job)"
