"""An instructor's own cleaning rules, from a CSV file in the form of `datasets/cleaning/limits.csv`."""

from __future__ import annotations

import difflib
import math
from functools import cache
from pathlib import Path
from typing import Any

from steadyneedle.bench.cleaning.catalogue import ALSO_CALLED, ALWAYS, ASK, NEVER, NO_LIMIT, known_methods, known_parts
from steadyneedle.bench.cleaning.harm_rules import NOT_NEEDED, Rules
from steadyneedle.bench.cleaning.limit_rule import LOW, ULTRASOUND, LimitRule
from steadyneedle.foundation import text_files
from steadyneedle.foundation.text_files import TextFileError, printable

COLUMNS = ("part", "method", "limit_minutes", "at_celsius", "at_percent", "instead", "why", "source")
NEEDED = ("part", "method", "limit_minutes", "source")
LARGEST = 1_000_000
MOST_ERRORS = 20

_REPLACE = "replace"


class CleaningRulesError(ValueError):
    """Own rules cannot be used; each line names file, row, column, and what to write instead."""

    def __init__(self, *errors: str) -> None:
        self.errors = errors
        shown = list(errors[:MOST_ERRORS])
        if len(errors) > MOST_ERRORS:
            shown.append(f"And {len(errors) - MOST_ERRORS} more errors.")
        super().__init__("\n".join(shown))


def read_rules(path: str | Path) -> Rules:
    """An instructor's own rules, to be laid over ours.

    The columns are part (a part or a material), method (a method, or what acts in it, such as acid), limit_minutes (a
    number, or never, no limit, ask; for replace: always, not needed), at_celsius, at_percent, instead, why, source.
    The stricter of two rules wins; where `instead` is yes, the row stands in place of ours even if it is looser.

    Parameters
    ----------
    path : str or Path
        A CSV file of at most 1 MB.

    Returns
    -------
    Rules
        For `judge_plan`, `best_plan` and `cell`.

    Raises
    ------
    ValueError
        A file that cannot be read; all cells that cannot be used, each by file, row and column.

    References
    ----------
    The form is that of `datasets/cleaning/limits.csv`; the rules are the instructor's, from their maker's manual.

    Examples
    --------
    >>> from steadyneedle.foundation import places
    >>> len(read_rules(places.datasets() / "cleaning" / "limits.csv").own) > 100
    True
    """
    if not isinstance(path, str | Path):
        raise CleaningRulesError("Name the file with your own rules, for example 'our-rules.csv'.")
    place = Path(path)
    name = printable(place.name)
    try:
        text = text_files.read_file(place, LARGEST).text
        lines = text.rstrip().split("\n")
        mark = max("\t;,", key=lambda one: (lines[0].count(one), one == ","))
        table = text_files.cells_of(lines, mark, name, 1)
    except TextFileError as error:
        raise CleaningRulesError(str(error)) from None
    header = [cell.strip().lower() for cell in table[0]] if table else []
    errors = _wrong_header(name, header)
    found = [] if errors else _rules_of(name, header, table[1:], errors)
    if errors:
        raise CleaningRulesError(*errors)
    if not found:
        raise CleaningRulesError(f"{name} holds no rule: fill in a row below the header.")
    return Rules(tuple(found), name)


def _rules_of(name: str, header: list[str], table: list[list[str]], errors: list[str]) -> list[LimitRule]:
    """The rule of each row that holds one; whatever is wrong goes to `errors`."""
    found: dict[tuple[str, str], LimitRule] = {}
    for number, cells in enumerate(table, 2):
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) != len(header):
            errors.append(
                f"{name}, row {number}: {len(cells)} cells, but the header has {len(header)} columns. "
                "Put text that contains a comma in double quotes."
            )
            continue
        wrong: list[tuple[str, str]] = []
        row = dict(zip(header, (cell.strip() for cell in cells), strict=True))
        rule = _rule(row, number, wrong)
        if not wrong and (rule.on, rule.by) in found:
            wrong.append(("method", f"'{rule.by}' on '{rule.on}' stands here twice: keep one row"))
        errors += [_said(name, number, column, advice) for column, advice in wrong]
        found[rule.on, rule.by] = rule
    return list(found.values())


def as_rules(rules: Any) -> Rules:
    """Rules for a plan: none, those that were read, or those of a file.

    Parameters
    ----------
    rules : Rules, str, Path or None
        None is ours alone.

    Returns
    -------
    Rules
        What lies over ours.

    Raises
    ------
    ValueError
        Something else, or a file that cannot be used.

    References
    ----------
    As `read_rules`.

    Examples
    --------
    >>> as_rules(None).own
    ()
    """
    if rules is None:
        return Rules()
    if isinstance(rules, Rules):
        return rules
    if isinstance(rules, str | Path):
        return read_rules(rules)
    raise ValueError("rules must come from read_rules('our-rules.csv'), or be left out.")


def _said(name: str, row: int, column: str, advice: str) -> str:
    return f"{name}, row {row}, column {column}: {advice}."


def _wrong_header(name: str, header: list[str]) -> list[str]:
    errors = [
        _said(name, 1, printable(title, 40) or "(empty)", f"not a column of rules; write one of {', '.join(COLUMNS)}")
        for title in header
        if title not in COLUMNS
    ]
    errors += [_said(name, 1, title, "stands here twice: keep one") for title in COLUMNS if header.count(title) > 1]
    return errors + [
        _said(name, 1, title, "is missing: add it to the header") for title in NEEDED if title not in header
    ]


def _rule(row: dict[str, str], number: int, wrong: list[tuple[str, str]]) -> LimitRule:
    on = _word(row["part"], _parts(), "part", wrong)
    by = _word(row["method"], _methods(), "method", wrong)
    numbers = {name: _number(row.get(name, ""), name, most, wrong) for name, most in _MOST.items()}
    instead = row.get("instead", "").lower()
    if instead not in ("", "yes", "no"):
        said = f"'{printable(instead, 20)}' is neither yes nor no: write yes where it stands in place of ours"
        wrong.append(("instead", said))
    limit = _limit(row["limit_minutes"], by, wrong)
    if limit == NOT_NEEDED and instead != "yes":
        wrong.append(("instead", "write yes: a part is replaced by our rule unless yours stands in its place"))
    if not row["source"]:
        wrong.append(("source", "empty: name the manual and its page"))
    why = row.get("why") or "by your own rule"
    return LimitRule(
        on, by, limit, numbers["at_celsius"], numbers["at_percent"], instead == "yes", why, row["source"], number
    )


_MOST = {"at_celsius": 100.0, "at_percent": 100.0}


@cache
def _parts() -> tuple[str, ...]:
    return tuple(dict.fromkeys([*known_parts(), *(part.material for part in known_parts().values())]))


@cache
def _methods() -> tuple[str, ...]:
    kinds = ("bath", "wipe", "tool", "replace")
    named = [name for name, method in known_methods().items() if method.kind in kinds]
    agents = [method.agent for method in known_methods().values() if method.kind in kinds and method.agent]
    return tuple(dict.fromkeys([*named, *agents, ULTRASOUND, LOW]))


def _word(cell: str, known: tuple[str, ...], column: str, wrong: list[tuple[str, str]]) -> str:
    spelt = {one.casefold(): one for one in known}
    if cell.casefold() in spelt:
        return spelt[cell.casefold()]
    if column == "method" and cell.casefold() in {name.casefold() for name in known_methods()}:
        wrong.append(
            (column, f"'{cell}' is not known as something that acts on a part; write one of {', '.join(known)}")
        )
        return cell
    other = ALSO_CALLED.get(cell.casefold(), "") if column == "method" else ""
    near = [other.casefold()] if other in known else difflib.get_close_matches(cell.casefold(), spelt, 1, 0.5)
    advice = f"write '{spelt[near[0]]}'?" if near else f"write one of {', '.join(known)}"
    wrong.append(
        (column, f"'{printable(cell, 40)}' is not known; {advice.rstrip('?')}{' if you mean that' if near else ''}")
    )
    return cell


def _limit(cell: str, by: str, wrong: list[tuple[str, str]]) -> float | str:
    words = (ALWAYS, NOT_NEEDED) if by == _REPLACE else (NEVER, NO_LIMIT, ASK)
    if cell.lower() in words:
        return cell.lower()
    if by != _REPLACE:
        value = _float(cell)
        if 0 <= value <= 10_000:
            return value if value else NEVER
    expected = ", ".join(words) if by == _REPLACE else f"a number of minutes, or {', '.join(words)}"
    wrong.append(("limit_minutes", f"'{printable(cell, 20)}' is no limit; write {expected}"))
    return ASK


def _number(cell: str, column: str, most: float, wrong: list[tuple[str, str]]) -> float | None:
    if not cell:
        return None
    value = _float(cell)
    if not 0 < value <= most:
        wrong.append(
            (column, f"'{printable(cell, 20)}' must be a number above 0 and up to {most:.0f}, or be left empty")
        )
        return None
    return value


def _float(cell: str) -> float:
    try:
        return float(cell.replace(",", "."))
    except ValueError:
        return math.nan
