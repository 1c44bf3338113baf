"""`corebath bath`: the water by itself, from the tap to the morning after."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import click

from corebath.ask.bath import BathQuestion, understand_bath
from corebath.ask.told import told_of
from corebath.ask.understand import Misunderstood, preference_of
from corebath.plan.alone.bath import answer_bath
from corebath.plan.why.alone import bath_answer_whys
from corebath.show.bath_chart import bath_drawing, figure_of_answer
from corebath.show.bath_json import bath_as_json
from corebath.show.bath_text import bath_as_text
from corebath.units import render

from .asking import ice_of, kitchen, refuse, takes
from .charts import print_chart, save_chart, takes_chart
from .explaining import explain, explains
from .say import echo

_QUESTION = (
    "vessel", "heater", "cover", "litres", "thick", "wide", "long", "shape", "mass", "pieces", "layers", "start",
    "state", "sealed", "weight", "wait", "ice", "zone", "units",
)  # fmt: skip
_OWN = {
    "set": ("TEMP", 'What the bath is set to: "57 C".'),
    "bath": ("TIME", 'How long it is held: "36 h" (12 h if not given).'),
    "starts": ("TIME", 'When the hold begins, if not now: "Fri 18:00".'),
    "asleep": ("HOURS", 'When nobody pours: "23:00 to 7:00" (default).'),
    "mix": ("WATER", "Hot water to fill with: tap (default), kettle, or its temperature."),
    "swap-to": ("TEMP", "Change the bath to this temperature by swapping water."),
    "swap-with": ("WATER", "Water to swap in: tap, kettle, or its temperature."),
    "off": ("TIME", 'A power cut of this length: "2 h" (default).'),
    "above": ("TEMP", "Temperature the bath is to stay above meanwhile (130 F if not given)."),
    "dip": ("DEGREES", "How far the bath may fall when food goes in (2 C if not given)."),
    "food": ("FOOD", "What goes in; with --thick, and with --mass or all sides."),
    "tap": ("TEMP", "Cold tap, if not as the kitchen's gear says."),
    "hot-tap": ("TEMP", "Hot tap, likewise."),
    "room": ("TEMP", "Air around the bath, likewise."),
    "humidity": ("PERCENT", "Its humidity, likewise."),
    "altitude": ("HEIGHT", 'Altitude, likewise: "2600 m".'),
    "price": ("MONEY", 'Energy, a kWh, likewise: "0.30 EUR".'),
    "wrap": ("WHAT", '"towels" when they lie round the sides.'),
    "open": ("PERCENT", "Share of the water that the cover leaves open, if you know it."),
}


@click.command("bath", help="Compute the water: warm-up, level, power cut, fit. Vessel and heater come from the gear.")
@takes(*_QUESTION, **_OWN)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON (docs/json-bath.md) instead of text.")
@explains("warm-up")
@takes_chart
def command(as_json: bool, why: str | None, chart: Path | None, **answers: str | None) -> None:
    """Compute a bath. Exit code 2 when the question is not understood or the water does not go in."""
    given = {name: value for name, value in answers.items() if value is not None}
    question = BathQuestion.of({**given, "ice": ice_of(answers)})
    assert isinstance(question, BathQuestion)
    place = kitchen()
    preference = preference_of(question, place)
    try:
        answer = answer_bath(understand_bath(question, datetime.now(UTC), place))
    except Misunderstood as error:
        refuse([render(s, preference) for s in error.sentences.values()])
    except ValueError as error:
        refuse([render(f"{error}.", preference)])
    if why is not None:
        whys = bath_answer_whys(answer, told_of(question, place))
        explain(whys, why, preference, as_json=as_json, code=0)
    figure = figure_of_answer(answer)
    if chart is not None:
        save_chart(lambda: bath_drawing(figure, preference, wide=True), chart)
    if as_json:
        click.echo(json.dumps(bath_as_json(answer, preference), ensure_ascii=False, indent=2))
        return
    echo(bath_as_text(answer, preference))
    print_chart(lambda wide: bath_drawing(figure, preference, wide=wide))
