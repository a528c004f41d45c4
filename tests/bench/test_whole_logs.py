"""Whole logs from the first reading to the last word: what an earlier watch, a step or a coarse gauge may not hide.

Every log here is invented; the rules are common practice, no source.
"""

from steadyneedle.bench.sheets import load_sheets
from steadyneedle.bench.trace import TraceVerdict, judge_trace, read_text
from steadyneedle.foundation import places

SHEETS = load_sheets(places.datasets() / "sheets")


def judged(rows: list[tuple[int, str]], sheet: str, unit: str = "bar") -> TraceVerdict:
    """A log of rows of seconds and readings, judged by a sheet."""
    return judge_trace(
        read_text(f"s,{unit}\n" + "\n".join(f"{time},{reading}" for time, reading in rows)), SHEETS[sheet]
    )


def test_a_whole_watch_that_climbed_is_not_undone_by_a_purge() -> None:
    climbed = [(30 * k, f"{9.2 + 0.125 * k:.1f}") for k in range(13)]
    stood = [(420 + 30 * k, "9.2") for k in range(13)]
    verdict = judged([*climbed, (390, "8.0"), *stood], "Alder")
    assert (verdict.conforms, verdict.outcome) == ("cannot tell", "locks")
    assert "from 0 to 360 s, failed: the needle rose by 1.25 bar" in verdict.reason
    assert verdict.as_json()["reason"] == verdict.reason
    assert verdict.reason in verdict.lines()[1]
    sound = [(30 * k, "9.2") for k in range(13)]
    assert judged([*sound, (390, "8.0"), *stood], "Alder").conforms == "yes"
    assert judged([*climbed[:4], (390, "8.0"), *stood], "Alder").conforms == "yes"  # no whole watch
