"""Figures and days in another language: decimal sign, days of the week, months."""

from __future__ import annotations

import re
from functools import cache

_DECIMAL = re.compile(r"(?<![\w.:/-])(−?\d+)\.(\d+)(?![\w.:/]|\.\d)")
_LONG_DAY = "Monday|Tuesday|Wednesday|Thursday|Friday|Saturday|Sunday"
_SHORT_DAY = "Mon|Tue|Wed|Thu|Fri|Sat|Sun"
_LONG_MONTH = "January|February|March|April|May|June|July|August|September|October|November|December"
_SHORT_MONTH = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
_DATE = re.compile(
    rf"(?:\b({_LONG_DAY}|{_SHORT_DAY})\b,? )?\b(\d{{1,2}}) ({_LONG_MONTH}|{_SHORT_MONTH})\b(?: (\d{{4}}))?"
)
_DAY = re.compile(rf"\b({_LONG_DAY}|{_SHORT_DAY})\b")
_MONTH = re.compile(rf"\b({_LONG_MONTH})\b")
_DAYS = re.compile(r"\b(\d+) days\b")
_CLOCK_ON = re.compile(rf"(\d{{1,2}}:\d{{2}}) on (?=(?:{_LONG_DAY}|{_SHORT_DAY})\b)")
_ON = {"fr": "le", "de": "am", "es": "el"}
# What stands between the day of the month and its name.
_BETWEEN = {"fr": " ", "de": ". ", "es": " de "}
_DAYS_WORD = {"fr": "jours", "de": "Tage", "es": "días"}


def figures(text: str, language: str) -> str:
    """A text with its numbers, days and months as the language writes them; words stay."""
    names = _names(language)

    def date(match: re.Match[str]) -> str:
        day, number, month, year = match.groups()
        said = f"{number}{_BETWEEN[language]}{names[month]}"
        if day is not None:
            said = f"{names[day]}{',' if language != 'fr' else ''} {said}"
        return f"{said}{' de ' if language == 'es' else ' '}{year}" if year else said

    text = _CLOCK_ON.sub(rf"\1 {_ON[language]} ", text)
    text = _DATE.sub(date, text)
    text = _DAY.sub(lambda m: names[m[1]], text)
    text = _MONTH.sub(lambda m: names[m[1]], text)
    text = _DAYS.sub(lambda m: f"{m[1]} {_DAYS_WORD[language]}", text)
    return _DECIMAL.sub(lambda m: f"{m[1]}{names['.']}{m[2]}", text)


@cache
def _names(language: str) -> dict[str, str]:
    """Days, months and the decimal sign, by their English names."""
    from babel import Locale  # slow to load, and not needed for English

    locale = Locale(language)
    out = {".": str(locale.number_symbols["latn"]["decimal"])}
    for width, days, months in (("abbreviated", _SHORT_DAY, _SHORT_MONTH), ("wide", _LONG_DAY, _LONG_MONTH)):
        out |= {name: locale.days["format"][width][i] for i, name in enumerate(days.split("|"))}
        out |= {name: locale.months["format"][width][i + 1] for i, name in enumerate(months.split("|"))}
    return out
