"""`corebath sear`: crust, grey band and core on a pan, under a torch or over a grill."""

from __future__ import annotations

from pathlib import Path

import click

from corebath.ask.ends import understand_sear
from corebath.plan.alone.sear import answer_sear
from corebath.plan.why.alone import sear_answer_whys
from corebath.show.ends_json import sear_as_json
from corebath.show.ends_text import sear_text
from corebath.show.sear_chart import sear_drawing

from .answering import answered, code_of, shows, told
from .asking import takes
from .explaining import explain, explains


@click.command("sear", help="Sear one FOOD out of the bath: crust, grey band, core, and what slows a side.")
@click.argument("food")
@takes(
    "thick", "wide", "long", "shape", "pieces", "mass", "want", "start", "pan", "hot", "surface", "units",
    burner=("KIND", "gas (default), electric or induction."),
    power=("POWER", 'Power of the burner: "2 kW" (default).'),
    across=("SIZE", 'Diameter of the pan: "28 cm" (default).'),
    oil=("NAME", "Fat in the pan: its smoke point is checked."),
    side=("TIME", "Fix the time on each side; without it a side stays until it has its crust."),
    turn=("TIME", 'Turn it this often: "15 s".'),
    rest=("TIME", 'Rest in the air afterwards: "5 min" (default).'),
    grill=("TEMP", 'Over coals or burners that hot, in place of a pan: "700 C".'),
    torch=(
        "TEST",
        "Under a torch, by its test with water: grams, warmed by degrees, in seconds, over a spot: "
        '"100 g, 20 C, 60 s, 6 cm".',
    ),
)  # fmt: skip
@shows
@explains("crust")
def command(food: str, as_json: bool, why: str | None, chart: Path | None, **answers: str | None) -> None:
    """Answer about the sear."""
    answer, preference, whose = answered(
        food, answers, lambda question, place: answer_sear(understand_sear(question, place))
    )
    if why is not None:
        whys = sear_answer_whys(answer, whose)
        explain(whys, why, preference, as_json=as_json, code=code_of(answer.findings))
    told(
        sear_text(answer, preference),
        sear_as_json(answer, preference),
        answer.findings,
        as_json=as_json,
        draw=lambda wide: sear_drawing(answer, preference, wide=wide),
        chart=chart,
    )
