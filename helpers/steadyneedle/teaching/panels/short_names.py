"""Causes and tests in the few words that a figure has room for."""

from __future__ import annotations

CAUSES = {
    "sound": "nothing wrong", "seat_dished": "seat dished", "seat_nicked": "seat nicked",
    "edge_or_static_seal": "edge or static seal", "grit": "grit on the seat", "stem_seal": "stem seal leaks",
    "shaft_seal": "shaft seal leaks", "head_seal": "head seal leaks", "diaphragm_holed": "diaphragm holed",
    "diaphragm_holed_sealed": "diaphragm holed", "diaphragm_stiff": "diaphragm stiff",
    "land_scratched": "land scratched", "spring_weak": "spring weak", "spring_wrong": "spring too stiff",
    "set_low": "set too low", "set_high": "set too high", "sticky": "valve sticks",
    "leak_on_sticky": "sticks, and leaks", "creep_and_burp": "creeps and burps",
    "second_stage_leaks": "second stage leaks", "filter_clogged": "filter clogged",
    "valve_part_open": "valve part open", "chamber_blocked": "chamber blocked", "chamber_iced": "chamber ices",
    "seat_setting": "new seat setting", "gauge_high": "gauge reads high", "gauge_sticks": "gauge sticks",
    "gauge_hose": "gauge hose weeps", "diaphragm_stiff+grit": "diaphragm and grit",
    "seat_nicked+second_stage_leaks": "seat, second stage", "seat_dished+gauge_high": "seat, gauge high",
    "seat_dished+set_high": "seat, set too high", "grit+filter_clogged": "grit and filter",
    "seat_nicked+gauge_hose": "seat, gauge hose", "another_pair": "another two faults",
}  # fmt: skip

TESTS = {
    "watch_full": "watch at full supply", "watch_low": "watch at 50 bar", "purge_watch": "purge five times",
    "shut": "shut the valve", "bleed": "bleed the supply", "breathe": "hold the purge",
    "breathe_low": "purge at 50 bar", "cycles": "cycle and watch", "next_day": "look next day",
    "blank": "blank the ports", "new_seat": "new seat", "new_spring": "new spring", "zero": "zero of the gauge",
    "second_gauge": "first gauge checked", "tap": "tap the gauge", "adjuster": "turn the adjuster",
    "pot": "pressure pot",
    "soap_chamber": "soap at the chamber", "soap_rim": "soap at the rim", "soap_hose": "soap at the hoses",
    "soap_mouth": "soap at mouthpiece", "listen": "listen", "immerse": "immerse", "negative_pressure": "suction bulb",
    "cracking": "cracking effort", "exhalation": "exhalation", "look_chamber": "look in the chamber",
    "look_handwheel": "look at handwheel", "look_filter": "look at the filter", "look_seat": "see the seat",
    "loupe_seat": "loupe on the seat", "look_edge": "see the edge", "loupe_edge": "loupe on the edge",
    "look_land": "see the land",
    "loupe_land": "loupe on the land", "look_diaphragm": "see the diaphragm", "look_seals": "see the seals",
    "look_spring": "measure the spring",
}  # fmt: skip


def short_cause(cause: str) -> str:
    """A cause in at most twenty letters; a key that has no short name as it is."""
    return CAUSES.get(cause, cause.replace("_", " "))


def short_test(test: str) -> str:
    """A test in at most twenty letters; a key that has no short name as it is."""
    return TESTS.get(test, test.replace("_", " "))
