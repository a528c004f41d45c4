"""What some tests showed of three Juniper regulators: the stories of lesson 04b. Invented."""

from __future__ import annotations

Findings = tuple[tuple[str, str], ...]
"""Test and outcome, as `bench.diagnosis` names them."""

DESIGN = "Juniper"

ASKED: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("watch_full", ("creeps slowly", "locks high", "stands")),
    ("second_gauge", ("agrees", "reads higher")),
    ("shut", ("supply holds, needle climbs", "supply falls, needle stays")),
    ("new_seat", ("climbs, old seat clean", "stands, old seat marked")),
    ("loupe_edge", ("a chip or a cut ring", "nothing worn")),
)
"""Five tests in an order of ours, each with outcomes to choose; the first of each make the start."""

START: Findings = tuple((test, shows[0]) for test, shows in ASKED)

CREEPS = "it creeps slowly"

STORIES: dict[str, Findings] = {
    CREEPS: (*START[:3], ("soap_rim", "nothing"), *START[3:]),
    "it locks high": (
        ("watch_full", "locks high"), ("tap", "stays"), ("zero", "reads zero"), ("second_gauge", "agrees"),
        ("new_seat", "locks high, old seat clean"), ("look_spring", "as the drawing says"),
    ),
    "its lock-up moves": (
        ("purge_watch", "lock-up moves"), ("watch_full", "stands"), ("second_gauge", "agrees"), ("soap_rim", "bubbles"),
        ("look_diaphragm", "hard rubber"), ("loupe_land", "nothing worn"),
    ),
}
