"""Tests, causes and chances as a trainee reads them, for sentences."""

from __future__ import annotations

from steadyneedle.bench.diagnosis.cause_list import cause_name
from steadyneedle.bench.diagnosis.examination_list import examination


def words_of_cause(cause: str) -> str:
    """A cause in words.

    Parameters
    ----------
    cause : str
        Key of a cause.

    Returns
    -------
    str
        Its name; the key with blanks where it has none, as in an example.

    References
    ----------
    `datasets/faults.csv`.

    Examples
    --------
    >>> words_of_cause("sound"), words_of_cause("a_toy")
    ('nothing wrong', 'a toy')
    """
    try:
        return cause_name(cause)
    except ValueError:
        return cause.replace("_", " ")


def words_of_test(test: str) -> str:
    """A test in words.

    Parameters
    ----------
    test : str
        Key of a test.

    Returns
    -------
    str
        What one does; the key with blanks where it has no name, as in an example.

    References
    ----------
    `datasets/diagnosis/tests.csv`.

    Examples
    --------
    >>> words_of_test("tap"), words_of_test("look_inside")
    ('tap the gauge', 'look inside')
    """
    try:
        return examination(test).name
    except ValueError:
        return test.replace("_", " ")


def percent(chance: float) -> str:
    """A chance in words that claim no more than it does.

    Parameters
    ----------
    chance : float
        0 to 1.

    Returns
    -------
    str
        Whole per cent; near the ends "under 1 %" and "over 99 %".

    References
    ----------
    Definition.

    Examples
    --------
    >>> percent(0.625), percent(0.004), percent(0.9997)
    ('63 %', 'under 1 %', 'over 99 %')
    """
    if chance < 0.01:
        return "under 1 %"
    return "over 99 %" if chance > 0.99 else f"{int(100 * chance + 0.5)} %"


def first_large(words: str) -> str:
    """Words as a sentence begins.

    Parameters
    ----------
    words : str
        Any.

    Returns
    -------
    str
        With a large first letter.

    References
    ----------
    Definition.

    Examples
    --------
    >>> first_large("tap the gauge")
    'Tap the gauge'
    """
    return words[:1].upper() + words[1:]


def words_of_mend(cause: str) -> str:
    """What puts a cause right.

    Parameters
    ----------
    cause : str
        Key of a cause.

    Returns
    -------
    str
        Words of the table of causes; empty where it has none, as in an example.

    References
    ----------
    `datasets/diagnosis/causes.csv`: common practice, no source.

    Examples
    --------
    >>> words_of_mend("filter_clogged")
    'a new filter; red: report the cylinder'
    """
    from steadyneedle.foundation import datasets

    columns = datasets.table("diagnosis/causes")
    return dict(zip(columns["cause"], columns["mend"], strict=True)).get(cause, "")
