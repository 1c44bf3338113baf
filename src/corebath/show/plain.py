"""Plain text: headings with their lines, and a finding as one line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from corebath.safety.finding import Finding
from corebath.units import Preference, render

from .words import capital

BINDING, REPORTED = "Rules that bind here", "Reported, not binding"
Parts = Iterable[tuple[str, Iterable[str]]]


def sections(parts: Parts) -> str:
    """Headings with a dash before each line; a heading without lines is left out."""
    written = [(title, list(lines)) for title, lines in parts]
    return "\n\n".join("\n".join([title, *(f"- {line}" for line in lines)]) for title, lines in written if lines) + "\n"


def finding_line(finding: Finding, preference: Preference) -> str:
    """A rule with its verdict, the numbers behind it, what is assumed, and its source."""
    said = f"{capital(finding.verdict)}: {finding.title}. {finding.why}"
    if finding.assumptions:
        said += f" Assumed: {' '.join(finding.assumptions)}"
    return f"{render(said, preference)} [{finding.source}]"


def rendered(lines: Iterable[str], preference: Preference) -> Iterator[str]:
    """Sentences of the core in the cook's units."""
    return (render(line, preference) for line in lines)


def judged(findings: Iterable[Finding], preference: Preference) -> Iterator[tuple[str, list[str]]]:
    """Findings under two headings, by whether they bind."""
    every = list(findings)
    yield BINDING, [finding_line(f, preference) for f in every if f.binding]
    yield REPORTED, [finding_line(f, preference) for f in every if not f.binding]
