"""Names of tests and causes as a trainee reads them, for sentences."""

from __future__ import annotations

from functools import cache

ANOTHER_PAIR, SOUND = "another_pair", "sound"


def words_of_cause(cause: str) -> str:
    """A cause in words.

    Parameters
    ----------
    cause : str
        Key of a cause; a pair's keys are joined by "+".

    Returns
    -------
    str
        Its name in `datasets/faults.csv`; a key that is not there with its underscores as blanks.

    References
    ----------
    Definition.

    Examples
    --------
    >>> words_of_cause("set_low+grit"), words_of_cause("sound")
    ('set too low: adjuster, shims or a wrong part, with grit or a crumb of rubber on the seat', 'nothing wrong')
    >>> words_of_cause("another_pair")
    'two faults at once, and the tests do not say which'
    """
    if cause == SOUND:
        return "nothing wrong"
    if cause == ANOTHER_PAIR:
        return "two faults at once, and the tests do not say which"
    names = _fault_names()
    return ", with ".join(names.get(one, one.replace("_", " ")) for one in cause.split("+"))


@cache
def _fault_names() -> dict[str, str]:
    from steadyneedle.foundation import datasets

    columns = datasets.table("faults")
    return dict(zip(columns["fault"], columns["name"], strict=True))


def words_of_test(design: str, test: str) -> str:
    """A test in words.

    Parameters
    ----------
    design : str
        Name of a first stage.
    test : str
        Key of a test.

    Returns
    -------
    str
        Its name among the design's examinations; a key that is not there with its underscores as blanks.

    References
    ----------
    Definition.

    Examples
    --------
    >>> words_of_test("a toy", "look_inside")
    'look inside'
    """
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
