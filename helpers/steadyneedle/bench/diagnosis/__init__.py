"""Finding the cause: examinations of a regulator, what they show, what it may be, and what to test next."""

from steadyneedle.bench.diagnosis.cause_list import cause_name, causes
from steadyneedle.bench.diagnosis.examination_list import examination, price, tests
from steadyneedle.bench.diagnosis.outcome_list import outcomes

__all__ = ["cause_name", "causes", "examination", "outcomes", "price", "tests"]
