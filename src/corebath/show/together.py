"""A number and its unit stay on one line: a no-break space (U+00A0) stands between them where lines are broken."""

from __future__ import annotations

import re

_NBSP = "\N{NO-BREAK SPACE}"
# Before a unit, its sign or "%", between the two parts of "1 h 50 min" and "4 lb 3 oz", and inside "1 1/2 in".
_FIGURE = re.compile(
    r"(?<=\d) (?=(?:°C|°F|days?|Tage?|jours?|días?|h|min|s|mm|m|in|ft|fl oz|g|kg|lb|oz|L|mL|qt|W|%)\b|°|%|\d/\d)"
    r"|(?<=\d[ \u00a0]h) (?=\d+ min\b)|(?<=\d[ \u00a0]lb) (?=\d+ oz\b)|(?<=\d[ \u00a0]min) (?=\d+ s\b)"
)
# Lines of these are broken by nobody, or their letters are taken as they stand.
_SEALED = re.compile(r"(<(?:script|style|textarea|svg|pre|code)\b.*?</(?:script|style|textarea|svg|pre|code)>)", re.S)
_TEXT = re.compile(r">[^<]+")


def together(text: str) -> str:
    """Plain text with its numbers tied to their units."""
    return _FIGURE.sub(_NBSP, text)


def page_together(page: str) -> str:
    """A page of our own (every `<` and `>` of its text and attributes escaped) with its numbers tied to their units."""
    parts = _SEALED.split(page)
    parts[::2] = (_TEXT.sub(lambda m: together(m[0]), part) for part in parts[::2])
    return "".join(parts)
