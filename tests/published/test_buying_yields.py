"""What is left of bought food beside the weighings and tables of others; agreement is reported as it is.

Roasted and grilled food loses more than food in a bag, and no core temperature is printed for it, so those rows show
the neighbourhood, not agreement. Our trim of vegetables is from USDA refuse; the kitchen tables are independent of it.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from tests.published.measuring import Measure
from tests.unit.plan.planning import asked

from corebath.food.catalogue import catalogue
from corebath.food.yields import Appetite, Loss, Share, loss_share, portion_kg
from corebath.plan.buying import Kept, kept_of
from corebath.plan.buying_compare import usual_body
from corebath.plan.make import make_plan

Row = dict[str, str]


def rows(check: str) -> list[Row]:
    path = Path(__file__).parent.parent / "reference" / "buying_yields.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["check"] == check]


@cache
def kept(food: str, set_point_C: float, hours: float) -> Kept:
    """Where the weight goes with so many hours in the bath after the food is hot through."""
    body = usual_body(catalogue()[food])
    first = make_plan(asked(food, body, set_point_C=set_point_C, hours=200.0), offer=False)
    bath_s = first.timing.come_up.nominal_s + hours * 3600
    return kept_of(make_plan(asked(food, body, set_point_C=set_point_C, bath_s=bath_s, hours=200.0), offer=False))


def percent_kept(row: Row) -> float:
    weight = kept(row["food"], float(row["set_point_C"]), float(row["hours"]))
    if row["check"] == "edible":
        return 100 * weight.of_bought.nominal
    bone = float(row["bone_pct"] or 0.0) / 100
    # A roast is weighed with its crust, food from a bag before its sear; a bone loses nothing.
    pan = weight.finish.nominal if float(row["set_point_C"]) >= 63 else 0.0
    return 100 * (bone + (1 - bone) * (1 - weight.cook.nominal) * (1 - pan))


def off(check: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Ours less the print, in points."""
    found = []
    for row in rows(check):
        ours = percent_kept(row) if check != "trim" else 100 * (1 - trim(row["food"]).nominal)
        found.append(ours - float(row["value"]))
        print(f"{check:8} {row['food']:16} ours {ours:5.1f}, print {row['value']:>5}, {found[-1]:+5.1f}")
    points = np.array(found)
    print(f"{check}: mean {points.mean():+.1f}, rms {np.sqrt((points**2).mean()):.1f}, max {np.abs(points).max():.1f}")
    return points


def trim(food: str) -> Share:
    return loss_share(catalogue()[food], Loss.TRIM)


def test_weighed_food_keeps_about_what_is_reckoned(measured: Measure) -> None:
    """Mean, rms and worst case are what they are: the juice model is no better than this for food it was not fitted to.

    Two steaks weighed by a cook are met within 3 points, roasted poultry of the USDA table within 2. Others miss by
    5 to 17: grilled, roasted and stewed meat either way, fillets to 75 C and two losses of beef at 5 h (read at second
    hand) lose half of ours.
    """
    points = off("kept")
    source = "USDA yields of poultry, weighed steaks, published losses"
    measured("buying", "cooked over raw weight", points, 0.0, unit="points", source=source)
    assert abs(points.mean()) < 7
    assert np.sqrt((points**2).mean()) < 11
    assert np.abs(points).max() < 18
    by_food = dict(zip((row["food"] for row in rows("kept")), points, strict=True))
    assert abs(by_food["beef-ribeye"]) < 3
    assert abs(by_food["chicken-wing"]) < 2


def test_trim_of_a_kitchen_table_lies_in_our_range(measured: Measure) -> None:
    """Sixteen foods: no bias to speak of, but single ones differ by up to 16 points (cauliflower, by its leaves)."""
    points = off("trim")
    source = "kitchen tables of produce yields"
    measured("buying", "usable share of vegetables and shrimp", points, 0.0, unit="points", source=source)
    assert abs(points.mean()) < 1
    assert np.sqrt((points**2).mean()) < 7.5
    for row in rows("trim"):
        share = trim(row["food"])
        assert 100 * (1 - share.high) <= float(row["value"]) <= 100 * (1 - share.low), row["food"]


def test_cooked_edible_meat_of_what_was_bought(measured: Measure) -> None:
    """Roasts of about 1930 with their bones: three of four prints lie in our range; well-done ribs keep more."""
    points = off("edible")
    what = "cooked edible meat of what was bought, four roasts with their bones"
    measured("buying", what, points, 0.0, unit="points", source="measurements of about 1930")
    assert np.abs(points).max() < 12
    inside = []
    for row in rows("edible"):
        whole = kept(row["food"], float(row["set_point_C"]), float(row["hours"])).of_bought
        inside.append(100 * whole.low <= float(row["value"]) <= 100 * whole.high)
    assert inside == [True, False, True, True]


@pytest.mark.parametrize("row", rows("portion"), ids=lambda r: f"{r['food']}-{r['value']}")
def test_published_portions_lie_between_small_and_large(row: Row) -> None:
    """The Australian serve of red meat alone is smaller than our small portion: it counts several serves a day."""
    food = next(f for f in catalogue().values() if f.kind == row["food"])
    small, large = (1000 * portion_kg(food, appetite) for appetite in (Appetite.SMALL, Appetite.LARGE))
    smaller = 20 if row["value"] == "65" else 0
    assert small - smaller <= float(row["value"]) <= large


def test_the_arithmetic_of_a_worked_example() -> None:
    """2 kg at 18.00/kg, a tenth trimmed, three quarters left by cooking: 1.35 kg, nine portions of 150 g, 4.00 each."""
    nothing = Share(0.0, 0.0, 0.0, "", "computed", "")
    weight = Kept(trim=Share(0.1, 0.1, 0.1, "", "", ""), bone=nothing, cook=Share(0.25, 0.25, 0.25, "", "", ""),
                  finish=nothing)  # fmt: skip
    cooked_kg = 2.0 * weight.of_bought.nominal
    printed = [float(row["value"]) for row in rows("arithmetic")]
    assert [cooked_kg, cooked_kg / 0.15, 2.0 * 18.0 / (cooked_kg / 0.15)] == pytest.approx(printed, rel=1e-12)
