"""The recordings that are shipped are what the rig says of the regulators they name."""

from __future__ import annotations

import pytest

from steadyneedle.foundation import datasets, places
from steadyneedle.jobs.recordings import NINE, NINE_TRACES, READ_ALOUD, recorded
from steadyneedle.physics.si import BAR


@pytest.mark.parametrize("number", NINE_TRACES.parts())
def test_the_nine_are_what_the_rig_says(number: int) -> None:
    """Tolerance one division of 0.02 bar: a reading that lies between two falls to either side."""
    times, readings = recorded(NINE[number - 1])
    columns = datasets.table("nine_traces", ("trace", "time_s", "pressure_bar"))
    rows = [k for k, one in enumerate(columns["trace"]) if one == number]
    assert [columns["time_s"][k] for k in rows] == times.tolist()
    assert [columns["pressure_bar"][k] for k in rows] == pytest.approx(abs(readings / BAR).tolist(), abs=0.021)


def test_the_needle_read_aloud_is_what_the_rig_says() -> None:
    """Tolerance one tenth of a bar, for the same reason."""
    times, readings = recorded(READ_ALOUD)
    _, rows = datasets.read_rows(places.datasets() / "logs" / "class_reading.csv")
    assert [float(time) for _, (time, _) in rows] == times.tolist()
    assert [float(pressure) for _, (_, pressure) in rows] == pytest.approx((readings / BAR).tolist(), abs=0.101)
