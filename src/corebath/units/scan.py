"""From what was typed to numbers and unit words: characters made plain, then decimals, fractions, pairs."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

LONGEST: Final = 200
_QUOTED: Final = 40

_PLAIN: Final = str.maketrans(
    {
        "º": "°",
        "˚": "°",
        "“": '"',
        "”": '"',
        "″": '"',
        "‟": '"',
        "‘": "'",
        "’": "'",
        "′": "'",
        "−": "-",
        "–": "-",
        "‐": "-",
        "‑": "-",
        "⁄": "/",
        "∕": "/",
        "\u200b": None,
        "\ufeff": None,
    }
)
_NUMBER: Final = re.compile(
    r"(?P<whole>[0-9]+)(?:[ ]*-[ ]*|[ ]+)(?P<n>[0-9]+)[ ]*/[ ]*(?P<d>[0-9]+)"
    r"|(?P<top>[0-9]+)[ ]*/[ ]*(?P<bottom>[0-9]+)"
    r"|(?P<decimal>[0-9]+(?:[.,][0-9]+)*|[.,][0-9]+)"
)
_UNIT: Final = re.compile(r"[ ]*(?P<unit>[^\W\d_]+|[\"'°*]+)?\.?")
_JOIN: Final = re.compile(r"[ ]*(?:,|&|\+|and\b|und\b|et\b)?[ ]*")


class NotUnderstood(ValueError):  # noqa: N818 - reads as the answer it is
    """The text is no quantity of the kind asked for; the message says what is accepted."""


class Ambiguous(NotUnderstood):
    """The text could mean one thing or another; the message asks which.

    choices : the readings, as a cook would type them
    """

    def __init__(self, message: str, choices: tuple[str, ...]) -> None:
        super().__init__(message)
        self.choices = choices


def quoted(text: str) -> str:
    """At most 40 printable characters of a text, in quotes; the others are escaped."""
    shown = ""
    for c in text[: _QUOTED + 1]:
        piece = c if c.isprintable() else c.encode("unicode_escape").decode("ascii")
        if len(shown) + len(piece) > _QUOTED:
            return f"'{shown[: _QUOTED - 1]}…'"
        shown += piece
    return f"'{shown}'"


def plain(text: str, what: str) -> str:
    """The text in plain characters: ASCII digits and quotes, single spaces, fractions as n/d.

    Raises NotUnderstood when it is empty or over 200 characters, before any other work.
    """
    if len(text) > LONGEST:
        raise NotUnderstood(f"{quoted(text)} is too long for {what}: at most {LONGEST} characters")
    spelt = " ".join("".join(_spelt(c) for c in text.translate(_PLAIN)).translate(_PLAIN).split())
    if not spelt:
        raise NotUnderstood(f"nothing was typed where {what} is needed")
    return spelt


def _spelt(c: str) -> str:
    decimal = unicodedata.decimal(c, None)
    if decimal is not None:
        return str(decimal)
    kind = unicodedata.decomposition(c).partition(" ")[0]
    if kind == "<fraction>":
        return " " + unicodedata.normalize("NFKC", c)
    # A raised or circled figure is no digit of the number before it: left as it is, it is refused.
    return c if kind in ("<super>", "<sub>", "<circle>") else unicodedata.normalize("NFKC", c)


def number_at(text: str, start: int) -> tuple[float, int] | None:
    """The number that begins at a position, and where it ends; None when none does.

    Takes 57, 57.5, 57,5, 1.234,5, 1/2, 1 1/2 and 1-1/2. Raises Ambiguous for a comma before exactly three
    figures (1,100), and NotUnderstood for a fraction over 0 or a number with stray separators.
    """
    match = _NUMBER.match(text, start)
    if match is None:
        return None
    if match["decimal"]:
        return decimal(match["decimal"]), match.end()
    whole = int(match["whole"] or 0)
    top, bottom = int(match["n"] or match["top"]), int(match["d"] or match["bottom"])
    if bottom == 0:
        raise NotUnderstood(f"{quoted(match[0])} divides by 0: a fraction such as 1/2 is needed")
    return whole + top / bottom, match.end()


def decimal(token: str) -> float:
    """A number with either decimal sign; grouped thousands only where the signs make the grouping plain.

    Raises Ambiguous and NotUnderstood as `number_at`.
    """
    marks = [c for c in token if c in ".,"]
    if not marks:
        return float(token)
    head, _, tail = token.rpartition(marks[-1])
    if len(marks) == 1:
        if marks[0] == "," and len(tail) == 3 and 1 <= len(head) <= 3 and head != "0":
            choices = (f"{head}{tail}", f"{head}.{tail}")
            raise Ambiguous(f"{quoted(token)} could be two numbers: {choices[0]} or {choices[1]}?", choices)
        return float(f"{head or '0'}.{tail}")
    if len(set(marks)) == 1:
        head, tail = token, ""
    groups = head.replace(",", ".").split(".")
    if len(set(marks[:-1])) > 1 or not 1 <= len(groups[0]) <= 3 or any(len(g) != 3 for g in groups[1:]):
        raise NotUnderstood(f"{quoted(token)} is not a number: write it like 1234.5 or 1234,5")
    return float(f"{''.join(groups)}.{tail or '0'}")


def pairs(text: str) -> list[tuple[float, str]] | None:
    """Numbers with their unit words ("4 lb 3 oz"), "" where none follows; None when the text is otherwise."""
    found = []
    position = 0
    while position < len(text):
        number = number_at(text, position)
        if number is None:
            return None
        value, position = number
        unit = _UNIT.match(text, position)
        joint = _JOIN.match(text, unit.end() if unit else position)
        assert unit is not None
        assert joint is not None
        found.append((value, unit["unit"] or ""))
        position = joint.end()
    return found
