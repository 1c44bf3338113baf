"""`corebath judge`: a series of readings, and what to do with the food."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import click

from corebath.ask.judge import JudgeQuestion, answer_judge
from corebath.ask.understand import Misunderstood, preference_of
from corebath.log.settings import settings
from corebath.log.verdict import Decision
from corebath.show.judge_chart import judge_drawing
from corebath.show.judge_json import judge_as_json
from corebath.show.judge_text import judge_text
from corebath.units import render

from .asking import kitchen, refuse, takes
from .charts import print_chart, save_chart, takes_chart
from .say import echo

_QUESTION = (
    "thick", "wide", "long", "shape", "pieces", "mass", "layers", "state", "start", "handling", "guests", "rules",
    "fish", "bag", "sear", "vessel", "heater", "cover", "litres", "zone", "units",
)  # fmt: skip
_OWN = {
    "food": ("FOOD", "What was in the bath, by any of its names."),
    "set": ("TEMP", 'What the bath should have stood at: "57 C"; if not given, where it stood at its best.'),
    "dropped-in": ("TIME", 'When the food went in: "Fri 18:05", or "10 min" after the first reading (default: then).'),
    "found": ("TIME", "The moment to judge, if not the last reading."),
    "seen-fine": ("TIME", "When the bath was last seen at its set point."),
    "power": ("HELD", '"held" when the power is known not to have failed, so that silence is the sensor\'s.'),
    "unit": ("C/F/K", "Unit of the file, where it does not say."),
    "dates": ("ORDER", '"day first" or "month first", where the file does not show.'),
    "counts": ("UNIT", "ms, s, min or h, of times that count from a start."),
    "began": ("TIME", "The moment from which the file counts."),
    "repeated": ("WHICH", '"first" or "second" hour, for times that come twice as the clocks go back.'),
    "bath-column": ("NAME", "Column of the bath, by name or number."),
    "core-column": ("NAME", "Column of the core, by name or number."),
}


@click.command("judge", help="Judge the readings in TRACE, a CSV file of a logger: keep, finish cooking, or bin.")
@click.argument("trace", type=click.Path(path_type=Path))
@takes(*_QUESTION, **_OWN)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON (docs/json-judge.md) instead of text.")
@takes_chart
def command(trace: Path, as_json: bool, chart: Path | None, **answers: str | None) -> None:
    """Judge a series. Exit code 0 to keep or finish, 1 to bin, 2 when something is not understood."""
    question = JudgeQuestion.of({name: value for name, value in answers.items() if value is not None})
    assert isinstance(question, JudgeQuestion)
    place = kitchen()
    preference = preference_of(question, place)
    try:
        answer = answer_judge(question, _bytes(trace), datetime.now(UTC), place)
    except Misunderstood as error:
        refuse([_asking(render(s, preference), f, error.choices.get(f, ())) for f, s in error.sentences.items()])
    if chart is not None:
        save_chart(lambda: judge_drawing(answer, preference, wide=True), chart)
    if as_json:
        click.echo(json.dumps(judge_as_json(answer, preference), ensure_ascii=False, indent=2))
    else:
        echo(judge_text(answer, preference))
        print_chart(lambda wide: judge_drawing(answer, preference, wide=wide))
    raise SystemExit(1 if answer.judged.decision is Decision.BIN else 0)


def _bytes(trace: Path) -> bytes:
    """The file, refused before it is read when it is too large."""
    most = settings("csv_words")["limits"]["bytes"]
    try:
        if trace.stat().st_size > most:
            refuse([f"The file {trace} is larger than {most / 1e6:.0f} MB: split it, or log at longer intervals."])
        return trace.read_bytes()
    except OSError as error:
        refuse([f"The file {trace} cannot be read: {error.strerror}."])


def _asking(sentence: str, field: str, choices: tuple[str, ...]) -> str:
    """A sentence, with the option that answers it where it is a question."""
    if not sentence.endswith("?") or not choices:
        return sentence
    option = field.replace("_", "-")
    return f"{sentence} Answer with {' or '.join(f'--{option} {c!r}' for c in choices)}."
