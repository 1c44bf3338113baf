"""A logger's text as a table: delimiter, decimal sign, header and rows, before anything is understood of it."""

from __future__ import annotations

import csv
import re
import unicodedata
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from .settings import settings

DELIMITERS = {";": "semicolons", "\t": "tabs", "|": "bars", ",": "commas"}
_LOOKED_AT = 200
_NUMBER = re.compile(r"[+-]?\d{1,18}(?:[.,]\d{1,18})?(?:[eE][+-]?\d{1,3})?")
_WITH_UNIT = re.compile(r"([+-]?\d{1,18}(?:[.,]\d{1,18})?)\s*(°\s?[CFcf]|deg\s?[CFcf]|[CFKcfk]|℃|℉)")
_TIME_LIKE = re.compile(
    r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}|\d{1,3}:\d{2}"
    r"|\d{1,2}[ .-]+[^\W\d]{3,10}[ .,-]+\d{2,4}|[^\W\d]{3,10}\s\d{1,2},?\s\d{4}"
)


class Unclear(ValueError):  # noqa: N818 - it is the file that is unclear
    """A file that can be read in more than one way.

    field : name of the choice that settles it, see `csv_import.Choices`;  choices : answers that would be understood
    The message is one question, quantities as marks.
    """

    def __init__(self, field: str, question: str, choices: Sequence[str]) -> None:
        super().__init__(question)
        self.field, self.choices = field, tuple(choices)


@dataclass(frozen=True, slots=True)
class Table:
    """Columns of equal length, cells as text.

    names : of the columns, "" where there is no header;  columns : cells, stripped
    delimiter : one of `DELIMITERS`;  decimal_comma : decimals are written with a comma
    has_header : a line of names stands over the rows;  left_out : rows of another width
    lines : number of each row's line in the file, from 1, as a spreadsheet counts them
    """

    names: tuple[str, ...]
    columns: tuple[list[str], ...]
    delimiter: str
    decimal_comma: bool
    has_header: bool
    left_out: int
    lines: tuple[int, ...]

    @property
    def rows(self) -> int:
        """Number of rows."""
        return len(self.columns[0])


def decoded(data: bytes | str) -> str:
    """The file's text. Raises ValueError for a file that is too large, or holds no text."""
    most = settings("csv_words")["limits"]["bytes"]
    if len(data) > most:
        raise ValueError(f"the file is larger than {most / 1e6:.0f} MB: split it, or log at longer intervals")
    text = data if isinstance(data, str) else _from_bytes(data)
    if "\x00" in text:
        raise ValueError("this is no text file: save it as CSV first")
    return text.removeprefix("\ufeff")


def _from_bytes(data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def table_of(text: str) -> Table:
    """The table in a text. Raises ValueError, one sentence, when there is none."""
    limits = settings("csv_words")["limits"]
    numbered = [(n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip()]
    if numbered and numbered[0][1].lower().startswith("sep=") and len(numbered[0][1]) == 5:
        del numbered[0]
    lines = [line for _, line in numbered]
    if not lines:
        raise ValueError("the file is empty: it needs one row for each reading")
    if len(lines) > limits["rows"] + _LOOKED_AT:
        raise ValueError(f"the file has more than {limits['rows']} rows: split it, or log at longer intervals")
    delimiter, width = _delimiter(lines[:_LOOKED_AT])
    if width > limits["columns"]:
        raise ValueError(f"the file has {width} columns; at most {limits['columns']} are read")
    rows, ends = _split(lines, delimiter)
    first = next((i for i, row in enumerate(rows) if len(row) == width and _is_data(row)), None)
    if first is None:
        raise ValueError("no row with a time and a temperature was found")
    above = rows[first - 1] if first else []
    header = above if len(above) == width and not _is_data(above) else None
    if header is None and first and above and len(above) != width and len(above) > 1 and _bare_decimals(rows, width):
        raise ValueError(
            f"the header has {len(above)} columns and the rows have {width}: where commas part both columns and "
            "decimals they cannot be kept apart, so write decimals with a point or part columns with semicolons"
        )
    whole = [i for i in range(first, len(rows)) if len(rows[i]) == width]
    kept = [rows[i] for i in whole]
    left_out = len(rows) - first - len(kept)
    if left_out > limits["bad_share"] * len(rows):
        raise ValueError(f"{left_out} of {len(rows)} rows do not have the {width} columns that most have")
    columns = tuple([cell.strip() for cell in column] for column in zip(*kept, strict=True))
    names = tuple(cell.strip()[: limits["cell"]] for cell in header) if header else ("",) * width
    filled = [i for i in range(width) if names[i] or any(columns[i])]
    comma = delimiter != "," or any('"' in line for line in lines[:_LOOKED_AT])
    return Table(
        names=tuple(names[i] for i in filled),
        columns=tuple(columns[i] for i in filled),
        delimiter=delimiter,
        decimal_comma=comma and _has_decimal_comma(columns),
        has_header=header is not None,
        left_out=left_out,
        lines=tuple(numbered[ends[i] - 1][0] for i in whole),
    )


def folded(text: str) -> str:
    """A name in small letters without accents, signs as spaces: "Température (°C)" gives "temperature °c"."""
    plain = unicodedata.normalize("NFKD", text.replace("℃", "°C").replace("℉", "°F")).casefold()
    kept = "".join(c for c in plain if not unicodedata.combining(c))
    return re.sub(r"[\s_()\[\]{},;:\"'.\-]+", " ", kept).strip()


def is_number(cell: str) -> bool:
    """True for a bare number, with a point or a comma."""
    return _NUMBER.fullmatch(cell) is not None


def unit_in(cell: str) -> str:
    """C, F or K when a cell carries its unit, "" otherwise."""
    found = _WITH_UNIT.fullmatch(cell)
    return "" if found is None else folded(found[2])[-1:].upper()


def without_unit(cell: str) -> str:
    """The number of a cell that carries its unit."""
    found = _WITH_UNIT.fullmatch(cell)
    return cell if found is None else found[1]


def is_nothing(cell: str) -> bool:
    """True for a cell that stands for no reading."""
    return cell.casefold() in _nothing()


def is_time_like(cell: str) -> bool:
    """True for a cell with a date or a clock time in it."""
    return len(cell) <= 60 and _TIME_LIKE.search(cell) is not None


@cache
def _nothing() -> frozenset[str]:
    return frozenset(settings("csv_words")["nothing"]["words"])


def _split(lines: Sequence[str], delimiter: str) -> tuple[list[list[str]], list[int]]:
    """The rows, and of each the number of lines read by its end."""
    reader, rows, ends = csv.reader(lines, delimiter=delimiter, skipinitialspace=True), [], []
    try:
        for row in reader:
            rows.append(row)
            ends.append(reader.line_num)
        return rows, ends
    except csv.Error:
        raise ValueError("the rows cannot be split into columns: a quotation mark may be missing") from None


def _delimiter(lines: Sequence[str]) -> tuple[str, int]:
    """The delimiter that gives most lines the same number of columns, and that number."""
    best: tuple[float, str, int] | None = None
    for delimiter in DELIMITERS:
        try:
            counts = Counter(len(row) for row in csv.reader(lines, delimiter=delimiter, skipinitialspace=True))
        except csv.Error:
            continue
        wide = {n: c for n, c in counts.items() if n > 1}
        if not wide:
            continue
        width = max(wide, key=lambda n: (wide[n], n))
        share = wide[width] / len(lines)
        # A comma may be a decimal sign, so any other delimiter that works goes before it.
        if share >= 0.5 and (best is None or share > best[0] + 0.3):
            best = (share, delimiter, width)
    if best is None:
        raise ValueError("no columns were found: part them with commas, semicolons, tabs or bars")
    return best[1], best[2]


def _is_data(row: Sequence[str]) -> bool:
    """A row with a number, and beside it a time or another number."""
    cells = [cell.strip() for cell in row]
    numbers = sum(is_number(c) or bool(unit_in(c)) for c in cells)
    times = sum(is_time_like(c) and not is_number(c) for c in cells)
    return numbers >= 1 and numbers + times >= 2


def _bare_decimals(rows: Sequence[Sequence[str]], width: int) -> bool:
    """Rows whose last column is a short whole number, as the decimals of a number cut in two are."""
    last = [row[-1].strip() for row in rows[:_LOOKED_AT] if len(row) == width]
    return sum(c.isdigit() and len(c) <= 3 for c in last) > len(last) / 2


def _has_decimal_comma(columns: Sequence[Sequence[str]]) -> bool:
    cells = [without_unit(c) for column in columns for c in column[:_LOOKED_AT]]
    commas = sum("," in c and is_number(c) for c in cells)
    points = sum("." in c and is_number(c) and not is_time_like(c) for c in cells)
    return commas > points
