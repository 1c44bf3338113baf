"""The page of a scenario: its question, its commands, its answer, its numbers against their bands, and its card."""

from __future__ import annotations

from collections.abc import Iterator

from .asking import Told
from .first_four import CARROTS, CHICKEN, CLOCKS, STEAKS
from .last_four import HUT, ROAST, TENDER, WEEK
from .scenario import Answers, Number, Scenario

SCENARIOS = (STEAKS, CHICKEN, CARROTS, CLOCKS, ROAST, HUT, WEEK, TENDER)


def page(scenario: Scenario, answers: Answers) -> str:
    """The page as Markdown."""
    return "\n".join(_lines(scenario, answers)).rstrip() + "\n"


def rows(scenario: Scenario, answers: Answers) -> list[str]:
    """One row of a table for each number."""
    return [_row(number, number.of(answers)) for number in scenario.numbers]


def _row(number: Number, value: float) -> str:
    low, high = (_told(end, number.unit) for end in number.band)
    band = low if low == high else f"{low} to {high}"
    return f"| {number.what} | {_told(value, number.unit)} | {band} | {'yes' if number.inside(value) else 'no'} |"


def _told(value: float, unit: str) -> str:
    """A number as the table prints it."""
    if unit == "clock":
        whole = round(60 * value)
        return f"{whole // 60}:{whole % 60:02d}"
    if unit == "min" and (value == 0 or value >= 10):
        return f"{value:.0f} min"
    return f"{value:.1f} {unit}"


def _sentence(key: str, told: Told) -> str:
    """What an answer comes to; a card stands at the end of its page."""
    if key == "card":
        return "Its card stands below."
    text = " ".join(str(told.answer.get("answer") or told.text).split())
    if not text:
        return "Its numbers stand below."
    return f"> {text}" + (" *(Not understood: exit code 2.)*" if told.code == 2 else "")


def _lines(scenario: Scenario, answers: Answers) -> Iterator[str]:
    yield from (f"# {scenario.key[0]}. {scenario.title}", "", scenario.story, "")
    yield from (f"Asked at {scenario.now:%H:%M} on {scenario.now.day} {scenario.now:%B %Y}, in Paris.", "")
    if scenario.pages:
        yield from ("## In the browser", "")
        yield from (f"{i}. {step}" for i, step in enumerate(scenario.pages, start=1))
        yield ""
        yield from (_sentence(key, told) for key, told in answers.items())
    else:
        yield from ("## The commands, and what they answer", "")
        for ask in scenario.asks:
            for name, text in ask.files.items():
                yield from (f"The file `{name}`:", "", "```toml", text.rstrip(), "```", "")
            if ask.at_sea:
                yield from ("At sea level:", "")
            yield from ("```sh", ask.typed, "```", "")
            if sentence := _sentence(ask.key, answers[ask.key]):
                yield from (sentence, "")
    yield from ("", "## The numbers against their bands", "", scenario.bands_from, "")
    yield from ("| Number | Ours | Band | Inside |", "| --- | --- | --- | --- |", *rows(scenario, answers), "")
    for number in scenario.numbers:
        if number.why:
            yield from (f"*{number.what[:1].upper()}{number.what[1:]}*: {number.why}", "")
    yield from ("## What it has to say, and says", "")
    yield from (f"- {said.what}" for said in scenario.said)
    if scenario.short:
        yield from ("", "## Where it falls short", "", *(f"- {line}" for line in scenario.short))
    if "card" in answers:
        yield from ("", "## The card", "", "As text; `--pdf` and `--html` write the same on one page.", "")
        yield from ("```text", answers["card"].text, "```")
