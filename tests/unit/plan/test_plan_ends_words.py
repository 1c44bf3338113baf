"""What the ends put into a plan's run sheet."""

from __future__ import annotations

import pytest
from tests.unit.plan.planning import planned

from corebath.plan.ends import make_ends
from corebath.units import METRIC, render


@pytest.mark.parametrize("food", ["beef-ribeye", "duck-breast", "pork-loin"])
def test_the_run_sheet_gives_the_same_three_figures_as_the_sear(food: str) -> None:
    """Its sides differ where one has the whole heat of the pan and the other a pan that fell."""
    ends = make_ends(planned(food, set_point_C=57.0))
    assert ends.seared is not None
    (said,) = (s for s in ends.seared.sear.statements if s.startswith("A crust takes about "))
    figures = said.removeprefix("A crust takes about ").removesuffix(".")
    told = next(task.what for task in ends.run_sheet if task.key == "finish")
    assert render(figures, METRIC) in render(told, METRIC)
