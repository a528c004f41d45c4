"""Tables of lesson 04b: what each suspect does to the gas, and what puts each cause right."""

from __future__ import annotations

from steadyneedle.bench.diagnosis.cause_list import cause_name
from steadyneedle.bench.diagnosis.gas import against, claims
from steadyneedle.foundation import datasets
from steadyneedle.questions.bank.stories import DESIGN, START
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.panels.believed import known
from steadyneedle.teaching.panels.offered import Rows, Table

FOUND = START[:3]
"""What is known in the table of suspects: a slow creep, a second gauge, both needles with the valve shut."""

NOTHING = "nothing so far"


def gas_rows() -> Table:
    """What each suspect claims of the gas, what one must then see, and what speaks against it after `FOUND`."""
    head = ("somebody says", "so they claim:", "then you must see", "what speaks against it")
    rows: Rows = []
    for cause in known().causes:
        if cause not in claims():
            continue
        claim, _, must_show = claims()[cause]
        told = [one.because.partition(" That speaks")[0] for one in against(DESIGN, cause, FOUND)]
        rows.append((cause_name(cause), claim, must_show, told[0] if told else NOTHING))
    return head, rows


def mend_rows(preferences: Preferences) -> Table:
    """What puts each cause right, and how often we and the trade expect it."""
    ours, trade = (known(one).prior for one in ("ours", "trade"))
    columns = datasets.table("diagnosis/causes")
    mend = dict(zip(columns["cause"], columns["mend"], strict=True))
    rows: Rows = []
    for at, cause in enumerate(known().causes):
        often = (preferences.number(100 * float(one[at]), 0) for one in (ours, trade))
        rows.append((cause_name(cause), mend[cause], *often))
    return ("cause", "what puts it right", "of 100, ours", "of 100, the trade's"), rows
