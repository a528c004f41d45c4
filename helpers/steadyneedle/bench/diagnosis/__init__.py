"""Finding the cause: examinations of a regulator, what they show, what it may be, and what to test next.

A door that loads nothing before it is asked: the makers of tables that stand behind it do not hang on all of it.
"""

from typing import TYPE_CHECKING, Any

from steadyneedle.foundation.doors import passed_on

if TYPE_CHECKING:
    from steadyneedle.bench.diagnosis.cause_list import cause_name, causes
    from steadyneedle.bench.diagnosis.contract import next_test, posterior
    from steadyneedle.bench.diagnosis.examination_list import examination, price, tests
    from steadyneedle.bench.diagnosis.outcome_list import outcomes

__all__ = ["cause_name", "causes", "examination", "next_test", "outcomes", "posterior", "price", "tests"]

_NAMES = {
    "cause_name": "cause_list", "causes": "cause_list", "examination": "examination_list", "price": "examination_list",
    "tests": "examination_list", "outcomes": "outcome_list", "next_test": "contract", "posterior": "contract",
}  # fmt: skip


def __getattr__(name: str) -> Any:
    return passed_on(__name__, _NAMES, name)
