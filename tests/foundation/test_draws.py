"""Draws: frozen for ever, uniform, bounded."""

from __future__ import annotations

import hashlib
import hmac
from collections import Counter
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from steadyneedle.foundation.draws import Draws

# Frozen test vectors. They must never change: papers already set would be marked against other numbers.
INTEGERS = [278, 298, 213, 856, 724, 162, 90, 118]
WIDE = [57056959641808619360926882736, 17429998039003208828036278549]
GRID = [10.25, 10.1, 8.95, 9.35, 9.2, 9.9]
FRACTIONS = ["0x1.315931a85be2ep-2", "0x1.21fc981cea6e0p-4", "0x1.fa75efd3a7b50p-3"]
ORDER = "bceadhgf"
ARRAY = ["0x1.3bd9c0693bea2p-2", "0x1.31607a416317fp-1", "0x1.37b8da45d7394p-3"]
NORMALS = [-0.3584794021909196, 0.9659778354967719, -1.4150742042662305]
STUDENT_T = [-2.296008161225237, 2.730662262101901, -0.6563363833830985]
PLACES = [2, 2, 2, 0, 0, 2, 2, 2]


def test_frozen_vectors() -> None:
    with_secret = Draws("paper", 1, "candidate 7", secret=b"cohort secret")
    assert [with_secret.integer(0, 999) for _ in INTEGERS] == INTEGERS
    wide = Draws("wide")
    assert [wide.integer(0, 10**30) for _ in WIDE] == WIDE
    grid = Draws("grid")
    assert [grid.decimal("8.5", "10.5", "0.05") for _ in GRID] == GRID
    fraction = Draws("fraction")
    assert [fraction.fraction().hex() for _ in FRACTIONS] == FRACTIONS
    assert "".join(Draws("order").order("abcdefgh")) == ORDER
    assert Draws("one").one_of("abcdefgh") == "d"


def test_frozen_arrays() -> None:
    """Quantiles are scipy's: their last digits may differ from one version to the next."""
    assert [one.hex() for one in Draws("fractions").fractions(3).tolist()] == ARRAY
    assert Draws("normals").normals(3).tolist() == pytest.approx(NORMALS, rel=1e-12)
    assert Draws("tails").student_t(5, 3).tolist() == pytest.approx(STUDENT_T, rel=1e-9)
    same = [NormalDist().inv_cdf(one) for one in Draws("normals").fractions(3).tolist()]
    assert same == pytest.approx(NORMALS, rel=1e-9), "the standard library's quantiles"
    assert Draws("places").places(np.array([1.0, 0.0, 3.0]), 8).tolist() == PLACES


def test_an_array_by_hand() -> None:
    """The construction written out with the standard library alone."""
    key = hmac.new(b"", len("fractions").to_bytes(4, "big") + b"fractions", hashlib.sha256).digest()
    block = hmac.new(key, (0).to_bytes(8, "big"), hashlib.sha256).digest()[:16]
    data = hashlib.shake_256(key + block).digest(24)
    numbers = [int.from_bytes(data[start : start + 8], "little") >> 11 for start in (0, 8, 16)]
    assert [(number / 2**53).hex() for number in numbers] == ARRAY


def test_first_number_by_hand() -> None:
    """The construction written out with the standard library alone."""
    words = b"".join(len(word).to_bytes(4, "big") + word for word in (b"paper", b"1", b"candidate 7"))
    key = hmac.new(b"cohort secret", words, hashlib.sha256).digest()
    block = hmac.new(key, (0).to_bytes(8, "big"), hashlib.sha256).digest()
    assert int.from_bytes(block[:16], "big") % 1000 == INTEGERS[0]


def test_words_are_framed() -> None:
    assert Draws("ab", "c").integer(0, 10**6) != Draws("a", "bc").integer(0, 10**6)
    assert Draws("a", secret=b"1").integer(0, 10**6) != Draws("a", secret=b"2").integer(0, 10**6)


def test_every_face_is_equally_likely() -> None:
    dice = Draws("uniform")
    counts = Counter(dice.integer(1, 6) for _ in range(12_000))
    chi_square = sum((count - 2000) ** 2 / 2000 for count in counts.values())
    assert set(counts) == set(range(1, 7)) and chi_square < 20.5  # 0.1 % point, 5 degrees of freedom


@given(st.text(max_size=20), st.integers(-1000, 1000), st.integers(0, 500))
def test_integers_stay_in_bounds(word: str, low: int, span: int) -> None:
    assert low <= Draws(word).integer(low, low + span) <= low + span


@given(st.text(max_size=20), st.lists(st.integers(), max_size=12))
def test_an_order_keeps_the_items(word: str, items: list[int]) -> None:
    assert sorted(Draws(word).order(items)) == sorted(items)


def test_an_empty_range_is_refused() -> None:
    with pytest.raises(ValueError, match="No whole number lies between 3 and 2"):
        Draws("x").integer(3, 2)


def test_an_array_of_fractions_is_uniform_and_repeats() -> None:
    many = Draws("array", 1).fractions(200_000)
    assert np.array_equal(many, Draws("array", 1).fractions(200_000)), "the same words, the same numbers"
    assert many.min() >= 0 and many.max() < 1
    counts = np.bincount((many * 20).astype(int), minlength=20)
    assert ((counts - 10_000) ** 2 / 10_000).sum() < 43.8, "chi-square of 19 degrees of freedom, 0.1 % (from memory)"
    assert abs(np.corrcoef(many[:-1], many[1:])[0, 1]) < 4 / many.size**0.5
    stream = Draws("array", 1)
    stream.fractions(3)
    after_three = stream.integer(0, 10**9)
    stream = Draws("array", 1)
    stream.fractions(5)
    assert stream.integer(0, 10**9) == after_three, "an array moves the single draws on by one, whatever its length"


def test_normal_draws_are_normal() -> None:
    from scipy.stats import kstest

    drawn = Draws("normal", 1).normals(50_000)
    assert np.isfinite(drawn).all() and kstest(drawn, "norm").pvalue > 0.001
    tails = Draws("student", 1).student_t(5, 50_000)
    assert np.isfinite(tails).all() and kstest(tails, "t", (5,)).pvalue > 0.001


def test_no_fraction_makes_an_infinite_number(monkeypatch: pytest.MonkeyPatch) -> None:
    """The least and the greatest fraction there are."""
    ends = np.array([0.0, 1 - 2.0**-53])
    monkeypatch.setattr(Draws, "fractions", lambda self, count: ends)
    assert np.isfinite(Draws("ends").normals(2)).all() and np.isfinite(Draws("ends").student_t(5, 2)).all()
    assert Draws("ends").places(np.array([0.0, 0.1, 0.7, 0.0]), 2).tolist() == [1, 2]


def test_places_come_as_often_as_their_weights() -> None:
    weights = np.array([1.0, 0.0, 2.0, 5.0])
    counts = np.bincount(Draws("weights").places(weights, 16_000), minlength=4)
    assert counts[1] == 0
    chi_square = sum((counts[k] - 2000 * weights[k]) ** 2 / (2000 * weights[k]) for k in (0, 2, 3))
    assert chi_square < 13.8  # 0.1 % point, 2 degrees of freedom
