"""Who is to be seated apart: candidates whose papers hold the same job."""

from __future__ import annotations

from collections.abc import Mapping

from steadyneedle.assessing.paper_file import Paper


def same_job(papers: Mapping[str, Paper]) -> tuple[tuple[str, ...], ...]:
    """Candidates who meet the same job on the bench, in the order of the roster; nobody who meets one alone.

    Parameters
    ----------
    papers : mapping of str to Paper
        Candidate -> paper, of one attempt.

    Returns
    -------
    tuple of tuple of str
        One for each job that several of them meet; empty where the paper has no job.

    Examples
    --------
    >>> same_job({})
    ()
    """
    by_job: dict[int, dict[str, None]] = {}
    for candidate, paper in papers.items():
        for number in {item.job for item in paper.items if item.job}:
            by_job.setdefault(number, {})[candidate] = None
    return tuple(tuple(met) for met in by_job.values() if len(met) > 1)


def seat_apart(candidates: tuple[str, ...]) -> str:
    """One group of them in a sentence.

    >>> seat_apart(("302", "303", "7"))
    'Seat apart: 302, 303 and 7 (same job)'
    """
    return f"Seat apart: {', '.join(candidates[:-1])} and {candidates[-1]} (same job)"
