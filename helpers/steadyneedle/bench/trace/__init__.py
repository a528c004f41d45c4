"""The door to gauge logs: read one, judge it."""

from steadyneedle.bench.trace.log_files import read_log, read_text
from steadyneedle.bench.trace.logs import Log, LogError
from steadyneedle.bench.trace.measured import Measured
from steadyneedle.bench.trace.verdict import OUTCOMES, TraceVerdict, judge_trace

__all__ = ["OUTCOMES", "Log", "LogError", "Measured", "TraceVerdict", "judge_trace", "read_log", "read_text"]
