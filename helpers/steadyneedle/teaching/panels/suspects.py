"""Tables of lesson 04b: what each suspect does to the gas, and what puts each cause right."""

from __future__ import annotations

from steadyneedle.bench.diagnosis.cause_list import cause_name
from steadyneedle.foundation import datasets
from steadyneedle.questions.preferences import Preferences
from steadyneedle.teaching.panels.believed import known
from steadyneedle.teaching.panels.offered import Rows, Table

ON = "IP climbs on and on, with a new seat too"
OUT = "IP holds or sinks; with the valve shut the supply needle falls"


def gas_rows() -> Table:
    """What each suspect does to the gas, what the needles would show, and what speaks against it."""
    head = ("somebody says", "then gas", "so the needles show", "what speaks against it")
    rows: Rows = [
        ("the seat is dished, nicked or dirty", "comes in past the seat", "IP climbs, for a while or on and on",
         "a new seat, and it climbs as before"),
        ("the edge or the static seal lets through", "comes in beside the seat", ON,
         "a new seat, and it holds"),
        ("the balance-stem seal leaks", "comes in through the balance chamber", ON,
         "a new seat, and it holds"),
        ("the rim weeps, the land is scratched", "goes out", OUT,
         "IP climbs"),
        ("a hose or a fitting weeps", "goes out", OUT,
         "both needles hold with the valve shut"),
        ("the spring is weak or too stiff", "neither: the set point is another", "IP holds at a wrong reading",
         "IP climbs, or goes back into its band"),
        ("the diaphragm is stiff or tilted", "neither: it closes elsewhere", "another lock-up after each purge",
         "the same lock-up five times"),
        ("the gauge is wrong", "neither", "one gauge shows what another does not", "a second gauge agrees"),
    ]  # fmt: skip
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
