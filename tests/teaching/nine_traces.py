"""The nine recordings of lesson 04, and how they are made: writes `datasets/nine_traces.csv` afresh.

.venv/bin/python tests/teaching/nine_traces.py
"""

from __future__ import annotations

import csv

import numpy as np

from steadyneedle.foundation import places
from steadyneedle.physics import needle, rig
from steadyneedle.physics.actions import Action

BAR = 1e5
OPEN = Action(0, "valve", 1)

TRACES: tuple[tuple[str, dict[str, float], tuple[Action, ...], float, float, float], ...] = (
    # design, faults, actions, from and to in seconds, division in bar
    ("Juniper", {}, (OPEN,), 20, 320, 0.02),
    ("Juniper", {}, (OPEN, Action(20, "purge", 6)), 26.5, 326.5, 0.02),
    ("Juniper", {"set_wrong": 0.2}, (OPEN,), 20, 320, 0.02),
    ("Juniper", {"spring_weak": 0.4}, (OPEN,), 20, 320, 0.02),
    ("Juniper", {"seat_nicked": 0.4}, (OPEN,), 20, 320, 0.02),
    ("Juniper", {"gauge_hose": 0.0}, (Action(0, "supply", 12.5e5), OPEN, Action(30, "valve", 0)), 60, 360, 0.02),
    ("Juniper", {"leak_on_sticky": 0.9}, (OPEN,), 20, 320, 0.02),
    ("Juniper", {}, (OPEN, Action(120, "bleed", 1), Action(120, "valve", 0), Action(120, "purge", 60)), 20, 320, 0.02),
    ("Juniper", {"seat_nicked": 0.0}, (OPEN,), 20, 50, 0.1),
)


def recorded(number: int) -> tuple[np.ndarray, np.ndarray]:
    """Seconds and readings in bar of one of the nine."""
    design, faults, actions, begin, end, division = TRACES[number - 1]
    _, trace = rig.run(rig.start(design, faults), actions, end)
    when = np.append(begin, trace.time[trace.time > begin])
    every = 2.5 if division < 0.1 else 5.0
    times, readings = needle.log(when, trace.at(when), every, division * BAR, 0.004 * BAR, seed=number)
    return times, readings / BAR


def main() -> None:
    with (places.datasets() / "nine_traces.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("trace", "design", "time_s", "pressure_bar", "division_bar", "source"))
        for number, (design, *_, division) in enumerate(TRACES, 1):
            for time, reading in zip(*recorded(number), strict=True):
                row = (number, design, f"{time:g}", f"{abs(reading):.2f}", division)
                writer.writerow((*row, "computed: invented regulators on the rig"))


if __name__ == "__main__":
    main()
