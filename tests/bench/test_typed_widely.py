"""What people type beyond the plain spellings: read where it is unambiguous, refused with what to type instead.

The lists are common practice, no source; the strings of the runs are made up here.
"""

from __future__ import annotations

import contextlib
import random
import re
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from steadyneedle.bench.units import KINDS, Q, read_quantity, registry
from steadyneedle.bench.units.spellings import ADVICE, SPELLINGS, WORDS

READ = [
    ("gauge pressure", "140 PSIG", 140, "psi"), ("absolute pressure", "140 PSIA", 140, "psi"),
    ("gauge pressure", "9 BARG", 9, "bar"), ("gauge pressure", "900 KPAG", 900, "kPa"),
    ("gauge pressure", "9 Bar(G)", 9, "bar"), ("gauge pressure", "9 BAR G", 9, "bar"),
    ("gauge pressure", "9 bar gage", 9, "bar"), ("absolute pressure", "10 bar (abs)", 10, "bar"),
    ("force", "5 lbs", 5, "lbf"), ("force", "5 pounds", 5, "lbf"),
    ("pressure", '1.5 "H2O', 1.5, "inH2O"), ("pressure", "1.5 in. H2O", 1.5, "inH2O"),
    ("pressure", "1.5 inWC", 1.5, "inH2O"), ("pressure", "1.5 in w.c.", 1.5, "inH2O"),
    ("pressure", "1.5 inches of water", 1.5, "inH2O"), ("pressure", "15 mmWS", 15, "mmH2O"),
    ("pressure", "760 mm mercury", 760, "mmHg"), ("pressure", "140 p.s.i.", 140, "psi"),
    ("pressure", "140 pounds per square inch", 140, "psi"), ("pressure", "10 kgf/sq cm", 10, "kgf/cm2"),
    ("pressure rate", "0.1 bar per min", 0.1, "bar/min"), ("pressure rate", "0.1 bar per minute", 0.1, "bar/min"),
    ("pressure rate", "0.1 bar/minute", 0.1, "bar/min"), ("pressure rate", "1 psig/min", 1, "psi/min"),
    ("pressure rate", "1 PSIA/Min", 1, "psi/min"), ("pressure rate", "0.1 MPa/h", 0.1, "MPa/h"),
    ("flow", "5 litre/minute", 5, "L/min"), ("flow", "5 L per min", 5, "L/min"), ("flow", "5 L/sec", 5, "L/s"),
    ("flow", "5 l min-1", 5, "L/min"), ("flow", "5 L·min⁻¹", 5, "L/min"), ("flow", "5 m³/hr", 5, "m3/h"),
    ("flow", "5 cubic feet per minute", 5, "ft3/min"),
    ("volume", "12 ltr", 12, "L"), ("volume", "3 cu in", 3, "in3"), ("volume", "3 cubic centimetres", 3, "cm3"),
    ("area", "3 sq mm", 3, "mm2"), ("area", "3 sq. mm", 3, "mm2"), ("area", "3 square millimetres", 3, "mm2"),
    ("length", '2.5"', 2.5, "in"), ("time", "5 hrs", 5, "h"), ("time", "5 sec.", 5, "s"),
    ("torque", "10 ft-lbs", 10, "lbf ft"), ("torque", "10 N.m", 10, "N m"), ("torque", "10 foot pounds", 10, "lbf ft"),
    ("temperature", "20 ℃", 20, "degC"), ("temperature", "20 degrees Celsius", 20, "degC"),
    ("percent", "1.6 %", 1.6, "percent"), ("percent", "1.6 ％", 1.6, "percent"),
    ("pressure", "1'013 mbar", 1013, "mbar"), ("pressure", "1’013.25 mbar", 1013.25, "mbar"),
    ("pressure", "10 bar.", 10, "bar"), ("pressure", "1.5×10³ Pa", 1500, "Pa"), ("pressure", "1,5 x 10^-3 bar", 0.0015, "bar"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "text", "value", "unit"), READ, ids=[text for _, text, _, _ in READ])
def test_spellings_people_write(kind: str, text: str, value: float, unit: str) -> None:
    found = read_quantity(text, kind)
    assert found.magnitude == pytest.approx(value) and found.units == Q(1, unit).units


REFUSED = [
    ("pressure rate", "0.01 mPa/min", "Type MPa"), ("pressure rate", "100 Mbar/min", "Type mbar"),
    ("gauge pressure", "0.675 mPa(g)", "Type MPa"), ("gauge pressure", "0.675 mPa g", "Type MPa"),
    ("gauge pressure", "5 Mbarg", "Type mbar"), ("gauge pressure", "5 MBar(g)", "Type mbar"),
    ("pressure", "5 mPA", "Type MPa"), ("pressure", "5 Mbars", "Type mbar"), ("pressure rate", "5 mPa per min", "Type MPa"),
    ("pressure", "140 lbs", "type psi"), ("pressure", "140 pounds", "type psi"), ("pressure", "10 kg", "type kgf/cm2"),
    ("pressure", "10 mb", "type mbar"), ("pressure", "10 in", "Type inH2O for water, inHg for mercury"),
    ("force", "10 kg", "type kgf, or N"), ("flow", "5 l/m", "type L/min"), ("flow", "5 slpm", "standard conditions"),
    ("number", "1.6 %", "Type 1.6 without '%'"), ("pressure", "10±0.1", "without its tolerance, for example 10 bar"),
    ("pressure", "10 +/- 0.1 bar", "without its tolerance"), ("pressure", "9-10 bar", "not a range"),
    ("pressure", "9 to 10 bar", "not a range"), ("pressure", "~10 bar", "without '~'"), ("pressure", "10^5 Pa", "1e5"),
    ("pressure", "10 bar (145 psi)", "one number with one unit"), ("time", "2.5 min 30 s", "2.5 min or 150 s"),
    ("time", "2:75", "2.5 min or 150 s"), ("length", "5'", "type ft"), ("temperature", "20 deg", "°C or °F"),
    ("absolute pressure", "10 barg", "asks for an absolute pressure"), ("gauge pressure", "900 kPaa", "kPa or kPa(g)"),
    ("area", "3 bar", "An area is wanted"), ("pressure", "5*10 bar", "no sums"), ("pressure", "2**10 bar", "no sums"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "text", "words"), REFUSED, ids=[text for _, text, _ in REFUSED])
def test_what_stays_refused_comes_with_what_to_type(kind: str, text: str, words: str) -> None:
    with pytest.raises(ValueError, match="(?i)" + re.escape(words)):
        read_quantity(text, kind)


@pytest.mark.parametrize(("kind", "spelling"), [(kind, one) for kind in ADVICE for one in ADVICE[kind]])
def test_every_advice_is_given(kind: str, spelling: str) -> None:
    """Nothing stands before it that reads the spelling, or says something else of it."""
    with pytest.raises(ValueError) as refused:
        read_quantity(f"2 {spelling}", kind)
    assert ADVICE[kind][spelling][1:] in str(refused.value) or "one unit" in str(refused.value)


LETTERS = "bBarRpPsSiIgGaAkKmMlLhHdnNwWcCfFtTuqz 0123456789.,'’\"-+±×*/^()%°²³µ\u00a0\u202f\0\u202e１"
SEEDS = [
    f"{number} {unit}" for number in ("9.8", "1,013", "-0,2", "1 005", "1.5e3") for unit in ("bar", "psig", "L/min")
]
TYPED = st.one_of(
    st.text(alphabet=LETTERS, max_size=40),
    st.builds(
        lambda number, gap, unit: f"{number}{gap}{unit}",
        st.sampled_from(["9.8", "9,8", "1,013", "1.013", "142", "1e3", "1.5×10³", "-0.2", ".5", "1'005"]),
        st.sampled_from(["", " ", "\u00a0"]),
        st.lists(st.sampled_from([*WORDS, "bar", "psi", "mPa", "Mbar", "g", "(a)", "/", "per", "-1", "2"]), max_size=4).map(" ".join),
    ),
)  # fmt: skip


def look_at(text: str, kind: str, decimal: str | None) -> bool:
    """Whether it was read; whatever it is, what must hold of it."""
    try:
        found = read_quantity(text, kind, decimal)
    except ValueError as error:
        said = str(error)
        assert said[-1] in ".?" and (".." not in said or ".." in text) and len(said) < 250 and "\n" not in said, (
            text,
            said,
        )
        assert said.isprintable(), (text, said)
        return False
    assert found.magnitude == found.magnitude and abs(found.magnitude) < 1e300
    name = str(found.units)
    assert not re.search(r"mP[aA]\b|M[bB]ar", text) or kind in ("force", "torque"), (text, name)
    assert found.check(
        registry.Unit(Q(1, {"number": "dimensionless"}.get(kind, next(iter(SPELLINGS[kind]), ""))).units).dimensionality
    )
    return True


@given(TYPED, st.sampled_from(KINDS), st.sampled_from([None, "comma", "point"]))
@settings(max_examples=300)
def test_whatever_is_typed(text: str, kind: str, decimal: str | None) -> None:
    look_at(text, kind, decimal)


@given(st.sampled_from(KINDS), st.data())
@settings(max_examples=200)
def test_a_setting_never_changes_what_can_be_read_one_way(kind: str, data: st.DataObject) -> None:
    """The three settings read one number, or refuse it, unless it may be thousands."""
    number = data.draw(st.from_regex(r"[1-9][0-9]{0,3}[.,][0-9]{1,4}", fullmatch=True))
    if re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", number):
        return
    unit = {"number": ""}.get(kind, next(iter(SPELLINGS[kind]), ""))
    read = set()
    for decimal in (None, "comma", "point"):
        with contextlib.suppress(ValueError):
            read.add(float(read_quantity(f"{number} {unit}", kind, decimal).magnitude))
    assert read <= {float(number.replace(",", "."))}


def mangled(draw: random.Random, kind: str) -> str:
    """A typed quantity with a few slips of the fingers; mostly of its kind."""
    own, other = (list(SPELLINGS[one]) or [""] for one in (kind, draw.choice(KINDS)))
    unit = draw.choice(draw.choice([own, own, own, other, list(WORDS)]))
    letters = list(f"{draw.choice(SEEDS).split()[0]}{draw.choice(['', ' '])}{unit}")
    for _ in range(draw.randint(0, 3)):
        at = draw.randrange(len(letters) + 1)
        letters[at : at + draw.randint(0, 1)] = draw.choice(LETTERS) if draw.random() < 0.7 else ""
    return "".join(letters)


def run(count: int, seed: int) -> tuple[int, float]:
    """So many mangled strings: how many were read, and the slowest [s]."""
    draw, read, slowest = random.Random(seed), 0, 0.0
    for _ in range(count):
        kind = draw.choice(KINDS)
        text = mangled(draw, kind)
        start = time.perf_counter()
        read += look_at(text, kind, draw.choice([None, "comma", "point"]))
        slowest = max(slowest, time.perf_counter() - start)
    return read, slowest


def test_a_thousand_slips_of_the_fingers() -> None:
    read, _ = run(1000, 1)
    assert read > 50


@pytest.mark.long
def test_a_hundred_thousand_slips_of_the_fingers() -> None:
    read, slowest = run(100_000, 2)
    print(f"100,000 strings: {read} read, slowest {1000 * slowest:.0f} ms")
    assert read > 5000


def spelled(draw: random.Random, kind: str) -> tuple[str, str]:
    """A spelling of a kind as a technician types it, with the capitals, squares and gaps people use; and its unit."""
    spelling = draw.choice(list(SPELLINGS[kind]))
    typed = draw.choice([spelling] * 6 + [spelling.upper(), spelling.capitalize()] * (len(spelling) > 2))
    if re.match("m[bB]", spelling) or spelling.startswith("M"):
        typed = spelling  # Mbar and mPa are refused; these capitals mean something
    typed = draw.choice([typed, typed, typed.replace("2", "²").replace("3", "³")])
    if kind in ("gauge pressure", "absolute pressure") and draw.random() < 0.4:
        typed += draw.choice({"g": ["g", "(g)", " g", " gauge", "G"], "a": ["a", "(a)", " abs", "A"]}[kind[0]])
    return typed, SPELLINGS[kind][spelling]


def right_ones(count: int, seed: int) -> None:
    draw = random.Random(seed)
    for _ in range(count):
        kind = draw.choice([kind for kind in KINDS if kind != "number"])
        typed, unit = spelled(draw, kind)
        value = round(draw.uniform(1, 90), draw.randint(0, 2))
        text = f"{value:g}" + draw.choice(["", " ", "\u00a0"]) + typed
        found = read_quantity(text.replace(".", draw.choice(".,"), 1), kind)
        assert found.magnitude == pytest.approx(value, rel=1e-12) and found.units == registry.Unit(unit), text


def test_a_thousand_right_ones() -> None:
    """Number and unit are known because the string was made of them."""
    right_ones(1000, 3)


@pytest.mark.long
def test_twenty_thousand_right_ones() -> None:
    right_ones(20_000, 4)
