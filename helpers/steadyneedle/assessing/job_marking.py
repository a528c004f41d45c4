"""What a job in a paper is worth: the path is read as data, played again, and marked part by part.

Nobody is marked by what a file says a test showed: each test of the path is done again on the job that the key gives
the candidate. Where it shows something else a person looks, for two versions of the workbook may differ.
"""

from __future__ import annotations

from dataclasses import dataclass

from steadyneedle.assessing.job_rubric import HALF_HONEST, HONEST, TWICE, Scheme
from steadyneedle.bench.diagnosis.cause_list import cause_name
from steadyneedle.bench.diagnosis.examinations import SOUND
from steadyneedle.foundation.text_files import printable
from steadyneedle.jobs.bill import total
from steadyneedle.jobs.mystery import job
from steadyneedle.jobs.path import (
    AT_THE_STOP,
    CONFIDENCES,
    CRITICAL,
    MOST_IN_A_PAPER,
    OFTEN,
    SHOWN,
    STOPPED,
    JobPath,
    PathError,
)
from steadyneedle.jobs.path_file import path_in
from steadyneedle.jobs.play import BARE_NAME, WATCH, seen, why_critical
from steadyneedle.jobs.pool import jobs_alike
from steadyneedle.jobs.whole_names import whole_name

FOUND, PART_FOUND, NOT_FOUND, UNENDED, PLAYED_OTHERWISE = "found", "part found", "not found", "not ended", "otherwise"
FAILED = "critical failure"
NAMED = "named, not shown"
SIGNED_OFF = "signed off"
RIGHT_OR_WRONG = {
    FOUND: "It is what was hidden.",
    PART_FOUND: "One of the pair is what was hidden.",
    NOT_FOUND: "It is not what was hidden.",
}
AGAINST_THE_TESTS = "To hand back a regulator that the tests did not find sound counts as a critical failure does."
ANOTHER_JOB = "This is a path through job {}. The candidate was given job {}."
OTHERWISE = (
    "Played again, the path comes out otherwise: test {} shows something else. It was made with another version of the "
    "workbook, or it was changed. A person looks at it."
)


@dataclass(frozen=True)
class JobWorth:
    """What a path is worth: `outcome`, the marks given, the reasons; `safe` where it was ended without a failure.

    To end with "nothing wrong" against what the tests give is no safe end.
    Of a path that comes out otherwise when it is played again, `safe` says so of the path as it was handed in.
    """

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
        raise PathError(f"Job {number} is a {job(number).design}, and this path is of a {printable(path.design)}.")
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


def check_form(path: JobPath) -> None:
    """Refuse a path that the form of a paper does not make: it would only take long to play again.

    Raises
    ------
    PathError
        More tests than a job in a paper holds, or one of them more often than it may be done.
    """
    if len(path.steps) > MOST_IN_A_PAPER:
        raise PathError(f"The path has {len(path.steps)} tests; the form of a paper takes {MOST_IN_A_PAPER}.")
    for test in path.tests:
        # a climb to the stop in another test counts as a watch, beside the two that may be done
        if path.tests.count(test) > OFTEN + (test == WATCH):
            raise PathError(f"'{test}' stands in the path {path.tests.count(test)} times; the form does it twice.")


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
        The answer holds no path through this job, or none that the form of a paper makes.
    """
    path = read_path_of(answer, number)
    check_form(path)
    if at := played_otherwise(path):
        return JobWorth(PLAYED_OTHERWISE, 0, (OTHERWISE.format(at),), safe=_ended_safely(path))
    if path.end == CRITICAL:
        return JobWorth(FAILED, 0, why_critical(path.because))
    if not _was_ended(path):
        return JobWorth(UNENDED, 0, ("Nobody said at its end what it is.",) if path.steps else ("No test was done.",))
    return _ended(path, scheme)


def ended_safely(number: int, answer: str) -> bool:
    """Whether an answer holds a path through a job that was ended safely, by what its tests show as handed in."""
    try:
        return _ended_safely(read_path_of(answer, number))
    except PathError:
        return False


def _was_ended(path: JobPath) -> bool:
    """Whether whoever played it ended it after some test, and without a critical failure."""
    return path.end == STOPPED and bool(path.steps)


def _ended_safely(path: JobPath) -> bool:
    """Whether it was ended without a critical failure, and not signed off against its own tests."""
    return _was_ended(path) and not (path.verdict.cause == SOUND and given_to(path) < SHOWN)


def _ended(path: JobPath, scheme: Scheme) -> JobWorth:
    """A job that was ended by whoever played it, after some tests."""
    from steadyneedle.jobs.debrief import how_found

    gave, said = given_to(path), path.verdict.confidence
    outcome = how_found(tuple(job(path.job).hidden.faults), path.verdict.cause)
    named = f"Named: {cause_name(path.verdict.cause)}, {said} %. Your tests give it {gave} %"
    if gave < SHOWN:
        outcome = NAMED if outcome in (FOUND, PART_FOUND) else outcome
        less = f"{named}, and {SHOWN} % are needed: the job earns no mark."
        if path.verdict.cause == SOUND:
            return JobWorth(SIGNED_OFF, 0, (less, AGAINST_THE_TESTS))
        return JobWorth(outcome, 0, (less,), safe=True)
    cause = {FOUND: scheme.cause, PART_FOUND: scheme.cause // 2}.get(outcome, 0)
    minutes, by_minutes = _minutes(path, scheme, outcome)
    honest = _honest(said, gave, scheme)
    lines = (
        f"{named}.",
        f"Cause: {cause} of {scheme.cause}. {RIGHT_OR_WRONG[outcome]}",
        f"Safe: {scheme.safe} of {scheme.safe}. No critical failure.",
        f"Minutes: {minutes} of {scheme.minutes}. {by_minutes}",
        f"Honest: {honest} of {scheme.honest}. Said: {said} %. Your tests give {gave} %.",
    )
    return JobWorth(outcome, cause + scheme.safe + minutes + honest, lines, safe=True)


def given_to(path: JobPath) -> int:
    """Per cent, rounded, that the tests give to what was named; of a pair, each of the two alone counts with it."""
    from steadyneedle.jobs.best_path import computed

    named = {path.verdict.cause, *path.verdict.cause.split("+")}
    by_cause = computed(path.job, path.findings).by_cause
    return round(100 * sum(by_cause.get(one, 0.0) for one in named))


def _minutes(path: JobPath, scheme: Scheme, outcome: str) -> tuple[int, str]:
    taken = total(path.tests).minutes
    words = f"Your tests took {taken:g} min; up to {scheme.quick:g} min earn all."
    if outcome != FOUND:
        return 0, f"{words} They count where the hidden cause alone is named."
    if taken <= scheme.quick:
        return scheme.minutes, words
    return (scheme.minutes // 2 if taken <= TWICE * scheme.quick else 0), words


def _honest(said: int, gave: int, scheme: Scheme) -> int:
    """All marks where nobody could say it much better by the steps of the list, half where it is not far off."""
    off = abs(said - gave)
    if off <= max(HONEST, min(abs(one - gave) for one in CONFIDENCES)):
        return scheme.honest
    return scheme.honest // 2 if off <= HALF_HONEST else 0


def hidden_lines(number: int) -> list[str]:
    """What was hidden in a job, and the way of the computed advice where the job is still in the list."""
    alike, found = jobs_alike().get(number), [f"Expected: {cause_name(job(number).hidden.cause)}"]
    if alike:
        way = ", ".join(whole_name(test) for test in alike.tests)
        found.append(f"  The advice finds it in {alike.minutes:g} min: {way}.")
    return found


def way_lines(number: int) -> list[str]:
    """The way of the computed advice through a job of the list: what each test shows, and what is then known."""
    from steadyneedle.jobs.best_path import computed

    hidden, lines, findings = job(number).hidden.cause, [], []
    for n, test in enumerate(jobs_alike()[number].tests):
        findings.append((test, seen(number, test, n).outcome))
        now = computed(number, findings).by_cause
        likeliest = max(now, key=lambda cause: now[cause])
        told = f"{cause_name(likeliest)} {100 * now[likeliest]:.0f} %"
        told += "" if likeliest == hidden else f", {cause_name(hidden)} {100 * now.get(hidden, 0.0):.0f} %"
        lines.append(f"  {n + 1}. {whole_name(test)}: {findings[-1][1]}. Then: {told}.")
    return lines


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
        f"{n}. {whole_name(one.test)}: {one.outcome} ({thought(one.belief.cause, one.belief.confidence)})"
        for n, one in enumerate(path.steps, 1)
    ]
    minutes = f"{total(path.tests).minutes:g} min"
    if path.end == CRITICAL:
        name = whole_name(path.fatal) if path.because == AT_THE_STOP else BARE_NAME
        return [*lines, f"Ended as a critical failure: {name}. {minutes}."]
    if path.end == STOPPED:
        return [*lines, f"Ended: {cause_name(path.verdict.cause)}, {path.verdict.confidence} %. {minutes}."]
    return [*lines, f"Not ended. {minutes}."]
