"""What a job in a paper is worth: the path is read as data, played again, and marked part by part.

Nobody is marked by what a file says a test showed: each test of the path is done again on the job that the key gives
the candidate. Where it shows something else a person looks, for two versions of the workbook may differ.
"""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.assessing.job_rubric import HONEST, SHOWN, TWICE, Scheme
from steadyneedle.bench.diagnosis.cause_list import cause_name
from steadyneedle.bench.diagnosis.examination_list import examination
from steadyneedle.jobs.bill import total
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import AT_THE_STOP, CONFIDENCES, CRITICAL, STOPPED, JobPath, PathError
from steadyneedle.jobs.path_file import path_in
from steadyneedle.jobs.play import BARE_NAME, seen, why_critical
from steadyneedle.jobs.pool import jobs_alike

FOUND, PART_FOUND, NOT_FOUND, UNENDED, PLAYED_OTHERWISE = "found", "part found", "not found", "not ended", "otherwise"
FAILED = "critical failure"
NAMED = "named, not shown"
ANOTHER_JOB = "This is a path through job {}. The candidate was given job {}."
OTHERWISE = (
    "Played again, the path comes out otherwise: test {} shows something else. It was made with another version of the "
    "workbook, or it was changed. A person looks at it."
)


@dataclass(frozen=True)
class JobWorth:
    """What a path is worth: `outcome`, the marks given, the reasons; `safe` where it was ended without a failure."""

    outcome: str
    marks: int
    lines: tuple[str, ...]
    safe: bool = False


def read_path_of(answer: str, number: int) -> JobPath:
    """The path through one job that an answer holds.

    Raises
    ------
    PathError
        It holds none, or one through another job.
    """
    path = path_in(answer)
    if path.job != number:
        raise PathError(ANOTHER_JOB.format(path.job, number))
    if path.design != job(number).design:
        raise PathError(f"Job {number} is a {job(number).design}, and this path is of a {path.design}.")
    return path


def played_otherwise(path: JobPath) -> int:
    """The first test that shows something else when the job is played again, from 1; 0 where all agree."""
    for n, step in enumerate(path.steps):
        if step.advised or seen(path.job, step.test, n).outcome != step.outcome:
            return n + 1
    at_the_stop = path.end == CRITICAL and path.because == AT_THE_STOP
    if path.replay or (at_the_stop and not seen(path.job, path.fatal, len(path.steps)).at_stop):
        return len(path.steps) + 1
    return 0


def job_worth(number: int, answer: str, scheme: Scheme) -> JobWorth:
    """What an answer to a job is worth.

    Parameters
    ----------
    number : int
        The job's, from the key.
    answer : str
        As handed in: a path as `path_file.as_text` writes it.
    scheme : Scheme
        The marks.

    Raises
    ------
    PathError
        The answer holds no path through this job.
    """
    path = read_path_of(answer, number)
    if at := played_otherwise(path):
        return JobWorth(PLAYED_OTHERWISE, 0, (OTHERWISE.format(at),))
    if path.end == CRITICAL:
        return JobWorth(FAILED, 0, why_critical(path.because))
    if path.end != STOPPED or not path.steps:
        return JobWorth(UNENDED, 0, ("Nobody said at its end what it is.",) if path.steps else ("No test was done.",))
    return _ended(path, scheme)


def _ended(path: JobPath, scheme: Scheme) -> JobWorth:
    """A job that was ended by whoever played it, after some tests."""
    from steadyneedle.jobs.debrief import how_found

    outcome = how_found(tuple(job(path.job).hidden.faults), path.verdict.cause)
    if outcome in (FOUND, PART_FOUND) and not shown(path):
        outcome = NAMED
    cause = {FOUND: scheme.cause, PART_FOUND: scheme.cause // 2}.get(outcome, 0)
    why = f" {_not_shown(path)}" if outcome == NAMED else ""
    minutes, by_minutes = _minutes(path, scheme, outcome)
    honest, by_honest = _honest(path, scheme)
    lines = (
        f"Cause: {cause} of {scheme.cause}. Named: {cause_name(path.verdict.cause)}.{why}",
        f"Safe: {scheme.safe} of {scheme.safe}. No critical failure.",
        f"Minutes: {minutes} of {scheme.minutes}. {by_minutes}",
        f"Honest: {honest} of {scheme.honest}. {by_honest}",
    )
    return JobWorth(outcome, cause + scheme.safe + minutes + honest, lines, safe=True)


def shown(path: JobPath) -> bool:
    """Whether its tests show what a path named: at least to one half, and to what was said of it.

    The rule of the debrief in the lessons. Chances are said in steps: whoever says the next step above the computed
    chance has rounded it. Of a pair, each of the two alone counts with it.
    """
    gave = _given_to(path)
    rounded = next((one for one in CONFIDENCES if one >= gave), CONFIDENCES[-1])
    return gave >= SHOWN and path.verdict.confidence <= rounded


def _given_to(path: JobPath) -> float:
    """Percent that the tests give to what was named, and to either of a pair."""
    from steadyneedle.jobs.best_path import computed

    named = {path.verdict.cause, *path.verdict.cause.split("+")}
    by_cause = computed(path.job, path.findings).by_cause
    return 100 * sum(by_cause.get(one, 0.0) for one in named)


def _not_shown(path: JobPath) -> str:
    gave = _given_to(path)
    if gave < SHOWN:
        return f"It was not shown: the tests give it {gave:.0f} %, and {SHOWN} % are needed."
    return f"It was not shown as surely as was said: {path.verdict.confidence} %, and the tests give it {gave:.0f} %."


def _minutes(path: JobPath, scheme: Scheme, outcome: str) -> tuple[int, str]:
    taken, best = total(path.tests).minutes, jobs_alike()[path.job].minutes
    words = f"{taken:g} min; the advice takes {best:g} min."
    if outcome != FOUND:
        return 0, f"{words} They count where the cause is found and shown."
    if taken <= scheme.within * best:
        return scheme.minutes, words
    return (scheme.minutes // 2 if taken <= TWICE * scheme.within * best else 0), words


def _honest(path: JobPath, scheme: Scheme) -> tuple[int, str]:
    from steadyneedle.jobs.best_path import computed

    gave = 100 * computed(path.job, path.findings).by_cause.get(path.verdict.cause, 0.0)
    words = f"Said: {path.verdict.confidence} %. The tests gave {gave:.0f} %."
    return (scheme.honest if abs(path.verdict.confidence - gave) <= HONEST else 0), words


def hidden_lines(number: int) -> list[str]:
    """What was hidden in a job, and the way of the computed advice."""
    one, alike = job(number), jobs_alike()[number]
    way = ", ".join(examination(test).name for test in alike.tests)
    return [
        f"Expected: {cause_name(one.hidden.cause)}",
        f"  The advice finds it in {alike.minutes:g} min: {way}.",
    ]


def in_sentences(answer: str) -> str:
    """An answer to a job for a person to read: its path step by step; as it is where it holds none."""
    try:
        return "\n".join(path_lines(path_in(answer)))
    except PathError:
        return answer


def path_lines(path: JobPath) -> list[str]:
    """A path in sentences, step by step: what was thought, what was done, what it showed, and how it ended."""

    def thought(cause: str, confidence: int) -> str:
        return f"thought: {cause_name(cause)}, {confidence} %" if cause else "thought: nothing said"

    lines = [
        f"{n}. {examination(one.test).name}: {one.outcome} ({thought(one.belief.cause, one.belief.confidence)})"
        for n, one in enumerate(path.steps, 1)
    ]
    minutes = f"{total(path.tests).minutes:g} min"
    if path.end == CRITICAL:
        name = examination(path.fatal).name if path.because == AT_THE_STOP else BARE_NAME
        return [*lines, f"Ended as a critical failure: {name}. {minutes}."]
    if path.end == STOPPED:
        return [*lines, f"Ended: {cause_name(path.verdict.cause)}, {path.verdict.confidence} %. {minutes}."]
    return [*lines, f"Not ended. {minutes}."]
