"""Numbers drawn from a key, the same on every machine and every version.

A library's generator may change its streams; an HMAC does not. Each number is made from
HMAC-SHA-256 blocks of a counter under a key derived from the words of the draw, so two draws
with different words are independent, and nobody without the secret can foretell a paper. An array
is one call of SHAKE-256 under the key and one such block: a block a number would be too slow.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import numpy as np

Item = TypeVar("Item")


class Draws:
    """A stream of draws for one key.

    Parameters
    ----------
    *words : str or int
        What the numbers are for, for example lesson, exercise and attempt. Order matters.
    secret : bytes
        Empty for practice, the cohort's secret for papers.

    Examples
    --------
    >>> dice = Draws("example", 1)
    >>> [dice.integer(1, 6) for _ in range(8)]
    [5, 1, 1, 1, 1, 1, 2, 4]
    """

    def __init__(self, *words: str | int, secret: bytes = b"") -> None:
        message = b"".join(_framed(str(word)) for word in words)
        self._key = hmac.new(secret, message, hashlib.sha256).digest()
        self._counter = 0

    def _block(self) -> int:
        block = hmac.new(self._key, self._counter.to_bytes(8, "big"), hashlib.sha256).digest()
        self._counter += 1
        return int.from_bytes(block[:16], "big")

    def integer(self, low: int, high: int) -> int:
        """A whole number from low to high, both included, all equally likely."""
        if high < low:
            raise ValueError(f"No whole number lies between {low} and {high}.")
        span = high - low + 1
        limit = (1 << 128) - (1 << 128) % span
        while (block := self._block()) >= limit:
            pass
        return low + block % span

    def decimal(self, low: str, high: str, step: str) -> float:
        """A number on the grid low, low + step ... high. Text, so that 0.1 means a tenth.

        >>> Draws("grid").decimal("8.5", "10.5", "0.05")
        10.25
        """
        start, width = Decimal(low), Decimal(step)
        steps = int((Decimal(high) - start) / width)
        return float(start + width * self.integer(0, steps))

    def fractions(self, count: int) -> np.ndarray:
        """`count` floats in [0, 1) with 53 random bits each, all from one call of SHAKE-256.

        A stream of its own: drawing an array moves the single draws on by one, whatever its length.

        >>> Draws("noise").fractions(3).round(4).tolist()
        [0.5174, 0.1784, 0.4548]
        """
        import numpy as np  # a paper's numbers are drawn without it

        data = hashlib.shake_256(self._key + self._block().to_bytes(16, "big")).digest(8 * count)
        return (np.frombuffer(data, "<u8") >> np.uint64(11)) * 2.0**-53

    def normals(self, count: int) -> np.ndarray:
        """`count` normal numbers of mean 0 and standard deviation 1, from `fractions`.

        >>> abs(float(Draws("noise").normals(10_000).std()) - 1) < 0.02
        True
        """
        from scipy.special import ndtri

        drawn: np.ndarray = ndtri(self._above_zero(count))
        return drawn

    def student_t(self, freedom: float, count: int) -> np.ndarray:
        """`count` numbers of Student's t with so many degrees of freedom, from `fractions`.

        >>> Draws("tails").student_t(5, 3).round(4).tolist()
        [-2.296, 2.7307, -0.6563]
        """
        from scipy.special import stdtrit

        drawn: np.ndarray = stdtrit(freedom, self._above_zero(count))
        return drawn

    def places(self, weights: np.ndarray, count: int) -> np.ndarray:
        """`count` places among `weights`, each as likely as its weight, from `fractions`.

        >>> Draws("dice").places([1, 0, 3], 8).tolist()
        [0, 2, 2, 0, 0, 0, 0, 2]
        """
        import numpy as np

        heaped = np.cumsum(weights)
        # to the right of equal heaps: what weighs nothing is never drawn
        found = np.searchsorted(heaped, self.fractions(count) * heaped[-1], side="right")
        return np.minimum(found, np.flatnonzero(weights)[-1])  # a product may round up to the whole

    def _above_zero(self, count: int) -> np.ndarray:
        """`fractions` without 0, of which a quantile would be minus infinity."""
        import numpy as np

        return np.maximum(self.fractions(count), 2.0**-54)

    def fraction(self) -> float:
        """A float in [0, 1) with 53 random bits."""
        return (self._block() >> 75) / (1 << 53)

    def one_of(self, items: Sequence[Item]) -> Item:
        """One item, all equally likely."""
        return items[self.integer(0, len(items) - 1)]

    def order(self, items: Sequence[Item]) -> list[Item]:
        """The items in a random order (Fisher-Yates)."""
        mixed = list(items)
        for last in range(len(mixed) - 1, 0, -1):
            other = self.integer(0, last)
            mixed[last], mixed[other] = mixed[other], mixed[last]
        return mixed


def _framed(word: str) -> bytes:
    data = word.encode("utf-8")
    return len(data).to_bytes(4, "big") + data
