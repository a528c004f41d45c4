"""Writes `datasets/telling_apart.csv` afresh, after the rig or the faults have changed.

.venv/bin/python tests/physics/telling_apart.py
"""

from __future__ import annotations

import csv
from concurrent.futures import ProcessPoolExecutor

from steadyneedle.bench.diagnosis import examinations as examine
from steadyneedle.foundation import places
from steadyneedle.physics.stages import FirstStage

HEADER = ("design", "one", "other", "action", "one_shows", "other_shows", "source")


def main() -> None:
    with ProcessPoolExecutor(2) as pool:
        tables = list(pool.map(examine.telling_apart, FirstStage.names()))
    with (places.datasets() / "telling_apart.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(HEADER)
        for rows in tables:
            writer.writerows((*row, "computed: examinations on the rig") for row in rows)


if __name__ == "__main__":
    main()
