"""Text files as people have them: any usual encoding and line end, cells between tabs, semicolons or commas.

What is no text, too large, or no file at all is refused with one sentence before any of it is looked at.
"""

from __future__ import annotations

import csv
import re
import stat
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

LONGEST_LINE = 100_000
"""Characters; no row of a table is as long."""

HEAD = 200
"""Lines that show what stands between columns."""

_SPREADSHEETS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_UNSEEN = re.compile("[\u200b-\u200f\u202a-\u202e\u2060-\u2064\ufeff]")
_WIDE = {sign: sign - 0xFEE0 for sign in range(0xFF01, 0xFF5F)} | {0x3000: 0x20}
"""Digits, letters and marks as wide as a Chinese or Japanese sign, to plain ones."""
_MARKS = ("\t", ";", "|", ",")
_READING = re.compile(r"[\s|\"]*[+-]?[.,]?\d")
_TWO_NUMBERS = re.compile(r"^\s*[+-]?[\d:.,]+\s+[+-]?[\d.,]+\s*$")


class TextFileError(ValueError):
    """A file cannot be read as a table of text; the sentence says what to do instead."""


@dataclass(frozen=True)
class Text:
    """What a file says, lines ended by a newline alone, and the encoding it was in."""

    text: str
    encoding: str = "UTF-8"


def printable(text: str, longest: int = 60) -> str:
    """A name or a cell as a sentence may show it: no sign that cannot be seen, and not for pages.

    >>> printable("log\\x1b[31m.csv"), printable("a" * 80, 8)
    ('log?[31m.csv', 'aaaaaaa…')
    """
    seen = "".join(sign if sign.isprintable() else "?" for sign in text[: longest + 1])
    return seen if len(seen) <= longest else f"{seen[: longest - 1]}…"


def read_file(path: Path, largest: int, shorter: str = "Keep the part that matters.") -> Text:
    """The text of a file of at most `largest` bytes; `shorter` says how to make a larger one fit.

    Raises
    ------
    TextFileError
        No such file, a folder, a pipe or a device, too large, not allowed, no text.
    """
    name = printable(path.name)
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise TextFileError(f"{printable(str(path))} is a folder. Name one file in it.")
        if not stat.S_ISREG(status.st_mode):
            raise TextFileError(f"{name} is a pipe or a device. Save what it gives in a file, and name that.")
        data = b""
        if status.st_size <= largest:
            with path.open("rb") as file:
                data = file.read(largest + 1)
    except (FileNotFoundError, NotADirectoryError):
        raise TextFileError(f"There is no file {printable(str(path), 300)}. Check its name and its folder.") from None
    except OSError as error:
        raise TextFileError(f"{name} cannot be read: {error.strerror or error}.") from None
    except ValueError as error:  # a name no system can hold
        if isinstance(error, TextFileError):
            raise
        raise TextFileError(f"There is no file {name}. Check its name.") from None
    if max(status.st_size, len(data)) > largest:
        raise TextFileError(
            f"{name} holds {max(status.st_size, len(data)) / 1e6:.0f} MB; at most {largest / 1e6:.0f} MB are read. "
            f"{shorter}"
        )
    return decoded(data, name)


def decoded(data: bytes, name: str) -> Text:
    """Bytes as text: UTF-8, UTF-16 or Windows-1252.

    Raises
    ------
    TextFileError
        A spreadsheet, or something else that is no text.
    """
    if data.startswith(_SPREADSHEETS):
        raise TextFileError(f"{name} is a spreadsheet, whatever its name ends with. Open it and save the table as CSV.")
    text, encoding = _with_encoding(data, name)
    text = plain_signs(text)
    head = re.sub(r"\s", "", text[:4096])
    unseen = 0 if head.isprintable() else sum(not sign.isprintable() for sign in head)
    if "\0" in text or unseen > max(3, len(head) / 20):
        raise TextFileError(f"{name} is no text file. Export the table as CSV first.")
    return Text(text, encoding)


def plain_signs(text: str) -> str:
    """Text with a newline alone at the end of each line, without signs of no width or twice the width.

    A letter and its accent become one sign.

    >>> plain_signs("a\\r\\nb\\rc\\u200e\\uff19\\n")
    'a\\nb\\nc9\\n'
    """
    if not text.isascii():
        text = unicodedata.normalize("NFC", _UNSEEN.sub("", text)).translate(_WIDE)
    return text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text


def _with_encoding(data: bytes, name: str) -> tuple[str, str]:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace"), "UTF-16"
    head = data[:2000]
    if b"\0" in head:  # UTF-16 without its mark: every second byte of plain letters is nothing
        for first, codec in ((1, "utf-16-le"), (0, "utf-16-be")):
            if len(head) > 7 and head[first::2].count(0) > 0.4 * len(head) / 2 and head[1 - first :: 2].count(0) == 0:
                return data.decode(codec, errors="replace"), "UTF-16"
        raise TextFileError(f"{name} is no text file. Export the table as CSV first.")
    try:
        return data.decode("utf-8-sig"), "UTF-8"
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace"), "Windows-1252"


def mark_between_columns(lines: Sequence[str]) -> str:
    """What stands between the columns of most lines; a blank where nothing else does.

    >>> mark_between_columns(["bench 2, gauge 4", "time;bar", "0;9,8", "15;9,9"]), mark_between_columns(["0  9,8"])
    (';', ' ')
    """
    some = [line for line in lines[:HEAD] if line.strip()]
    marks = [mark for mark in _MARKS if 2 * sum(mark in line for line in some) >= max(len(some), 1)]
    if marks:
        mark = next((one for one in marks if _parts_header_alike(one, some)), marks[0])
        between_blanks = mark == "," and 2 * sum(bool(_TWO_NUMBERS.match(line)) for line in some) >= len(some)
        return " " if between_blanks else mark
    return " " if 2 * sum(len(line.split()) > 1 for line in some) >= max(len(some), 1) else ","


def _parts_header_alike(mark: str, lines: Sequence[str]) -> bool:
    """Whether a mark stands in the line above the first reading too: one that does not may belong to remarks."""
    first = next((n for n, line in enumerate(lines) if _READING.match(line)), 0)
    return first == 0 or mark in lines[first - 1]


def even_rows(text: str, mark: str, width: int) -> bool:
    """Whether every line of plain text has `width` cells; not where a double quote stands, which may hold anything.

    >>> even_rows("1,2\\n3,4", ",", 2), even_rows("1,2\\n3", ",", 2), even_rows('1,"2"', ",", 2)
    (True, False, False)
    """
    ends = [ord(mark), ord("\n"), ord('"')]
    others = bytes(sign for sign in range(256) if sign not in ends)
    found = text.encode("utf-8", "surrogatepass").translate(None, others) + b"\n"
    return found == (mark.encode() * (width - 1) + b"\n") * (len(found) // width)


def cells_of(lines: Sequence[str], mark: str, name: str, first: int = 1) -> list[list[str]]:
    """The cells of each line; `first` is the number of the first line, for what is said of a line.

    Raises
    ------
    TextFileError
        A double quote that is not closed on its line, or a line too long for a row of a table.
    """
    longest = max(map(len, lines), default=0)
    if longest > LONGEST_LINE:
        at = next(n for n, line in enumerate(lines) if len(line) == longest)
        raise TextFileError(f"{name}, row {first + at} is {longest} characters long: that is no row of a table.")
    if mark == " ":
        # two blanks or more between columns leave room for one within a name
        wide = 2 * sum("  " in line.strip() for line in lines) > len(lines)
        return [re.split(r"\s{2,}" if wide else r"\s+", line.strip()) if line.strip() else [] for line in lines]
    if not any('"' in line for line in lines):
        return [line.split(mark) if line else [] for line in lines]
    reader = csv.reader(iter(lines), delimiter=mark, strict=True)
    rows: list[list[str]] = []
    try:
        for row in reader:
            if reader.line_num != len(rows) + 1:
                raise csv.Error  # its quote swallowed a line
            rows.append(row)
    except csv.Error:
        raise TextFileError(
            f"{name}, row {first + len(rows)}: a double quote is not closed where its cell ends. "
            "Close it, or take it out."
        ) from None
    return rows
