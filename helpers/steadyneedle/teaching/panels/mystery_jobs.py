"""Mystery jobs in a lesson: the form that plays one, and a class's paths through one job on one picture."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache

from steadyneedle.foundation import places
from steadyneedle.jobs.best_path import best_path, played
from steadyneedle.jobs.debrief import Debrief
from steadyneedle.jobs.habits import RANDOM, habits, keeps_to
from steadyneedle.jobs.path import JobPath
from steadyneedle.jobs.path_file import Folder, read_folder
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.figures.drawing import Drawing
from steadyneedle.teaching.figures.job_paths import PathsPicture, paths_figure, paths_sentence
from steadyneedle.teaching.frame.panel import Choice, DrawnPanel, Panel, Slider
from steadyneedle.teaching.learner.job_debrief import ADVICE, lane_of
from steadyneedle.teaching.learner.job_form import JobSession
from steadyneedle.teaching.learner.progress import Progress

FOLDER = "job-paths"
"""Beside the lessons: where an instructor puts the files that trainees send."""

ON_A_PICTURE = 8
"""So many paths fit on one picture, besides that of the advice."""

NAMED = 10
"""So many files that are there twice, or left out, are named."""

SHOWN_JOB, INVENTED_CLASS = 5, 4
"""Where nobody has sent anything: the job that is shown, and how many in the invented class test at random."""


def job_form(progress: Progress) -> JobSession:
    """The form that plays a mystery job."""
    return JobSession(progress)


def files_note() -> tuple[str, ...]:
    """What lies in an instructor's folder: what is read, what is there twice, what is left out and what to do."""
    folder = read_folder(places.work() / FOLDER)
    if not (folder.paths or folder.notes):
        return (f"**There is no file in the folder {FOLDER} yet.** So the picture shows an invented class.",)
    counted = Counter(path.job for path in folder.paths)
    jobs = ", ".join(f"{count} of job {number}" for number, count in sorted(counted.items()))
    paths = "1 path is" if len(folder.paths) == 1 else f"{len(folder.paths)} paths are"
    lines = [f"**{paths} read from {FOLDER}:** {jobs}."]
    if not folder.paths:
        lines = [f"**No path is read from {FOLDER}.** So the picture shows an invented class."]
    for head, told in (("There twice", folder.same), ("Left out", folder.notes)):
        if told:
            more = len(told) - NAMED
            rest = (f"- And {more} more.",) if more > 0 else ()
            lines += [f"{head}:", *(f"- {one}" for one in told[:NAMED]), *rest]
    return tuple(lines)


@lru_cache(maxsize=1)
def _invented() -> tuple[JobPath, ...]:
    """A class that never was: one for each habit of the trade, and some who test in any order."""
    advisers = [keeps_to(habit) for habit in habits()]
    advisers += [keeps_to(RANDOM, number) for number in range(INVENTED_CLASS)]
    return tuple(played(SHOWN_JOB, adviser) for adviser in advisers)


def paths_panel(preferences: Preferences) -> Panel:
    """The paths that an instructor's folder holds, eight at a time, the path of the advice above them."""
    folder = read_folder(places.work() / FOLDER)
    sent = folder if folder.paths else Folder(_invented(), folder.notes)
    numbers = tuple(map(str, sent.numbers))
    most = max(Counter(path.job for path in sent.paths).values())

    def compute(number: str, first: float) -> PathsPicture:
        return _picture(int(number), [path for path in sent.paths if path.job == int(number)], round(first))

    def describe(result: PathsPicture) -> str:
        told = [preferences.localise(paths_sentence(result))]
        if not folder.paths:
            told.append(f"Invented: put what your class sends into the folder {FOLDER}, then load the page again.")
        if folder.notes:
            told.append("What is left out, and why, stands above the picture.")
        return " ".join(told)

    def draw(result: PathsPicture) -> Drawing:
        # lanes and words all change with the job: nothing stands still that would be worth keeping
        return Drawing(paths_figure(result, preferences.localise), (), lambda now: now is result)

    controls = (
        Choice("number", "Job", numbers, numbers[0]),
        Slider("first", "From path", 1, max(most, 2), 1, "", 1),
    )
    return DrawnPanel("A class's paths through one job", controls, compute, describe, draw=draw)


def _picture(number: int, paths: list[JobPath], first: int) -> PathsPicture:
    best = best_path(number)
    looked = [Debrief(path, best) for path in paths]
    first = min(first, max(len(paths) - ON_A_PICTURE + 1, 1))
    lanes = [
        lane_of(f"{n}{' again' if one.path.replay else ''}", one.path, one.outcome, again=one.in_vain(one.path))
        for n, one in enumerate(looked, 1)
    ]
    counted = "; ".join(f"{count} {end}" for end, count in Counter(lane.outcome for lane in lanes).most_common())
    many = "1 path" if len(paths) == 1 else f"{len(paths)} paths"
    advice = lane_of(ADVICE, best, looked[0].outcome_of(best), True, looked[0].in_vain(best))
    return PathsPicture(
        f"Job {number}: {many}; {counted}", (advice, *lanes[first - 1 : first - 1 + ON_A_PICTURE]), ON_A_PICTURE + 1
    )
