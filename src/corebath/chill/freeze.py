"""Freezing a chilled piece in a household freezer."""

from __future__ import annotations

from dataclasses import dataclass

from corebath.chill.runs import Around, Runs, layered, runs
from corebath.chill.tables import Medium, medium, settings
from corebath.heat.body import Body
from corebath.heat.engine import Thermal
from corebath.units import mark


@dataclass(frozen=True, slots=True)
class Freeze:
    """A piece freezing: its runs (cores of 0, -5 and -12 degC), sentences and what they rest on."""

    runs: Runs
    statements: tuple[str, ...]
    assumptions: tuple[str, ...]


def freeze(body: Body, thermal: Thermal, start_C: float, *, freezer: Medium | None = None, layers: int = 1) -> Freeze:
    """Freeze a piece.

    start_C : even temperature, after chilling, -1 to 20 [degC]: hot food would warm what lies beside it
    freezer : a `Medium`; a household freezer by default;  layers : pieces lying flat on each other

    Raises ValueError outside those ranges. Cores of -5 degC hold most of their water as ice.
    """
    if not -1 <= start_C <= 20:
        raise ValueError(f"food goes into the freezer chilled, between -1 and 20 C, got {start_C:g} C")
    what = medium("freezer") if freezer is None else freezer
    cases = (
        Around(what.cold_C, what.h_high),
        Around(what.nominal_C, what.h_nominal),
        Around(what.warm_C, what.h_low),
    )
    made = runs(layered(body, layers), thermal, start_C, what.words, cases, settings()["levels"]["freeze_C"])
    hard = made.reach(-5.0)
    quality = settings()["quality"]
    when = (
        f"The core is hard ({mark(-5.0, 'C')}) after {mark(hard.nominal_s, 's')}"
        if hard.nominal_s is not None
        else f"The core does not come down to {mark(-5.0, 'C')}"
    )
    slow = (
        "; in a poor freezer it is not certain"
        if hard.cautious_s is None
        else f", cautious {mark(hard.cautious_s, 's')}"
    )
    return Freeze(
        runs=made,
        statements=(
            f"{when}{slow}.",
            "While it stays frozen the food rule (FDA Food Code 3-502.12(D)) sets no limit of days; for eating quality "
            f"cooks allow {quality['frozen_months_low']} to {quality['frozen_months_high']} months (common practice).",
            "Lay bags flat and apart, and write the date on tape that holds in the cold.",
        ),
        assumptions=(f"Contact: {what.source}.", "The freezer holds its temperature with the new load in it."),
    )
