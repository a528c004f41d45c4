"""Finding the cause: examinations of a regulator, what they show, what it may be, and what to test next."""

from steadyneedle.bench.diagnosis.cause_list import cause_name, causes
from steadyneedle.bench.diagnosis.examination_list import examination, examinations, price, tests
from steadyneedle.bench.diagnosis.knowledge import Knowledge, knowledge
from steadyneedle.bench.diagnosis.outcome_list import outcomes

__all__ = [
    "Knowledge", "cause_name", "causes", "examination", "examinations", "knowledge", "outcomes", "price", "tests",
]  # fmt: skip
