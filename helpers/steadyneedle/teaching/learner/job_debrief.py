"""The pictures of a mystery job and its debrief as a form: two paths on one picture, two tables, sentences."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

from steadyneedle.bench.diagnosis.examination_list import price
from steadyneedle.bench.diagnosis.gauge_kinds import sheet_for
from steadyneedle.jobs.bill import spent
from steadyneedle.jobs.debrief import Debrief, as_ended
from steadyneedle.jobs.mystery import Job
from steadyneedle.jobs.path import JobPath, PathError
from steadyneedle.jobs.path_file import save_path
from steadyneedle.jobs.play import Seen
from steadyneedle.physics.si import BAR
from steadyneedle.teaching.figures.drawing import Localise, png_of
from steadyneedle.teaching.figures.job_paths import Lane, PathsPicture, paths_figure, paths_sentence
from steadyneedle.teaching.figures.needle_watched import NeedleRead, needle_figure, needle_sentence
from steadyneedle.teaching.frame.form import Form, Message, Picture
from steadyneedle.teaching.learner import job_words as words

YOURS, ADVICE = "yours", "the advice"


def needle_picture(one: Job, shown: Seen, localise: Localise) -> Picture | None:
    """What somebody read off the needle in a test; None where it was no watch."""
    if shown.log is None or len(shown.log[0]) < 2:
        return None
    band = sheet_for(one.design, one.gauge).band
    edges = (0.0, 0.0) if band is None else tuple(float(end.to("bar").magnitude) for end in (band.low, band.high))
    times, readings = shown.log
    minutes, bars = (tuple(each.round(4).tolist()) for each in (times / 60, readings / BAR))
    shut = minutes[shown.climb - 1] if shown.goes_on and len(minutes) > shown.climb else None
    result = NeedleRead(minutes, bars, (edges[0], edges[1]), shown.stop / BAR, shut)
    return Picture(png_of(needle_figure(result, localise)), localise(needle_sentence(result)), result)


def lane_of(label: str, path: JobPath, outcome: str, best: bool = False, again: float = 0.0) -> Lane:
    """A path as a lane of the picture; what was named, and not shown by any finding, is not called found."""
    bills, opening = spent(path.tests), None
    for n, test in enumerate(path.tests):
        if opening is None and price(test, path.tests[:n]).opens:
            opening = bills[n].minutes
    money = bills[-1].money if bills else 0.0
    return Lane(label, tuple(bill.minutes for bill in bills), as_ended(path, outcome), best, again, money, opening)


def paths_of(debrief: Debrief) -> PathsPicture:
    """The path beside that of the advice."""
    own, best = debrief.path, debrief.best
    lanes = (
        lane_of(ADVICE, best, debrief.outcome_of(best), True, debrief.in_vain(best)),
        lane_of(YOURS, own, debrief.outcome, again=debrief.in_vain(own)),
    )
    return PathsPicture(f"Job {own.job}", lanes)


def debrief_view(begin: Form, path: JobPath, best: Any, file: str, localise: Localise) -> Form:
    """The form of a job that has ended, with its debrief; `file` says where the path was saved."""
    looked = Debrief(path, _best_of(path, best))
    word, lines = words.debrief_lines(looked)
    picture = paths_of(looked)
    tables = (words.path_table(looked, own=True), words.path_table(looked, own=False))
    return dataclasses.replace(
        begin,
        message=Message(word, tuple(map(localise, (*lines, *((file,) if file else ()))))),
        tables=tables,
        picture=Picture(png_of(paths_figure(picture, localise)), localise(paths_sentence(picture)), picture),
    )


def _best_of(path: JobPath, kept: Any) -> JobPath:
    """The path of the advice as it was kept; computed where it was not, or was spoilt."""
    from steadyneedle.jobs.best_path import best_path

    try:
        best = JobPath.of(kept)
    except PathError:
        return best_path(path.job)
    return best if (best.job, best.design) == (path.job, path.design) and best.end else best_path(path.job)


def saved_words(path: JobPath, first: JobPath, folder: Path) -> str:
    """Save the first path of a job for the instructor, whichever was looked at; a sentence says where it is.

    A replay that follows at once on the first path comes before anybody has looked back, and its file is made then.
    """
    if first.replay or not first.end:
        return "This was a replay, and the first path is not in your file any more: none is saved for an instructor."
    try:
        file = save_path(first, folder)
    except PathError as error:
        return str(error)
    if path.replay:
        return (
            f"This was a replay: the first path stays, in {file.name} beside the lessons. An instructor may ask for it."
        )
    return f"The path is in {file.name}, beside the lessons: tests and beliefs, no name. An instructor may ask for it."
