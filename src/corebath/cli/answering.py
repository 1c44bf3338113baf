"""What the commands for one end of a cook share: reading the answers, and printing text, JSON or a chart."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

import click

from corebath.ask.ends import EndQuestion
from corebath.ask.told import told_of
from corebath.ask.understand import Misunderstood, preference_of
from corebath.log.gear import Kitchen
from corebath.plan.why.why import Told
from corebath.safety.finding import Finding, Verdict
from corebath.units import Preference, render

from .asking import kitchen, refuse
from .charts import Draw, print_chart, save_chart, takes_chart
from .say import echo

F = TypeVar("F", bound=Callable[..., Any])
T = TypeVar("T")


def shows(command: F) -> F:
    """Give a command `--json` and `--chart`."""
    return writes(takes_chart(command))


def writes(command: F) -> F:
    """Give a command `--json`."""
    return click.option("--json", "as_json", is_flag=True, help="Print as JSON (docs/json-ends.md) instead of text.")(
        command
    )


def answered(
    food: str, answers: dict[str, str | None], answer: Callable[[EndQuestion, Kitchen], T]
) -> tuple[T, Preference, Told]:
    """What the answers come to, the cook's units, and whose word the answers are.

    Leaves with exit code 2 and a sentence for each unclear one.
    """
    question = EndQuestion.of({"food": food, **{k: v for k, v in answers.items() if v is not None}})
    place = kitchen()
    preference = preference_of(question, place)
    try:
        return answer(question, place), preference, told_of(question, place)
    except Misunderstood as error:
        refuse([render(sentence, preference) for sentence in error.sentences.values()])
    except ValueError as error:
        refuse([f"{render(str(error), preference).rstrip('.')}."])


def told(
    text: str,
    data: dict[str, Any],
    findings: Iterable[Finding],
    *,
    as_json: bool,
    draw: Draw | None = None,
    chart: Path | None = None,
) -> None:
    """Print an answer, write its chart, and leave: exit code 1 when a binding rule is not met or not known.

    draw : makes the chart, wide or narrow, and raises ValueError where there is nothing to draw
    """
    if chart is not None and draw is not None:
        save_chart(partial(draw, True), chart)
    if as_json:
        click.echo(json.dumps(data, ensure_ascii=False, indent=2))
    else:
        echo(text)
        if draw is not None:
            print_chart(draw)
    raise SystemExit(code_of(findings))


def code_of(findings: Iterable[Finding]) -> int:
    """Exit code: 1 when a binding rule is not met or not known."""
    return 1 if any(f.binding and f.verdict is not Verdict.MET for f in findings) else 0
