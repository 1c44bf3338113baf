"""Thirty-six hours for short ribs over the night in which the clocks go back, Paris, 30 to 31 October 2027.

Bands: an independent model of evaporation (1.2 to 2.6 mm/h, bags 40 mm under bare after 16 to 33 h); the clock change
is in the EU directive 2000/84/EC (last Sunday of October).
"""

from __future__ import annotations

from datetime import datetime

import pytest
from tests.acceptance.kitchens import PARIS, minutes, plan_of

from corebath.ask.batch import understand_batch
from corebath.ask.batch_question import BatchQuestion, LotRow, Top
from corebath.log.gear import Kitchen
from corebath.plan.batch.make import make_batch
from corebath.plan.clock import elapsed_s
from corebath.plan.plan import Plan
from corebath.units import METRIC, render

FRIDAY = datetime(2027, 10, 29, 12, 0, tzinfo=PARIS)


@pytest.fixture(scope="module")
def plan() -> Plan:
    return plan_of(
        FRIDAY, food="short ribs", thick="40 mm", mass="400 g", pieces="4", want="57 C", bath="36 h",
        eat="2027-10-31 18:30", vessel="40 cm x 30 cm x 20 cm", heater="1.1 kW, 8 cm to 18 cm", litres="18 L",
    )  # fmt: skip


def test_elapsed_hours_hold(plan: Plan) -> None:
    # From Friday 18:00, 36 h end on Sunday at 05:00, not at 06:00. For dinner at 18:30 it is Saturday about 07:00.
    assert elapsed_s(plan.drop_in, plan.pull) == minutes(36)
    assert plan.drop_in.date() == datetime(2027, 10, 30).date()
    assert datetime(2027, 10, 30, 7, 0, tzinfo=PARIS) <= plan.drop_in <= datetime(2027, 10, 30, 7, 30, tzinfo=PARIS)
    assert plan.serve == datetime(2027, 10, 31, 18, 30, tzinfo=PARIS)
    five = datetime(2027, 10, 31, 5, 0, tzinfo=PARIS)
    assert elapsed_s(datetime(2027, 10, 29, 18, 0, tzinfo=PARIS), five) == minutes(36)


def test_the_change_is_on_the_run_sheet(plan: Plan) -> None:
    pull = next(t for t in plan.run_sheet if t.key == "pull")
    assert "36 h after drop-in" in render(pull.what, METRIC)
    assert "clocks go back by 1 h" in render(pull.what, METRIC)


def test_a_batch_over_the_change_tells_its_days_and_the_change() -> None:
    lot = LotRow(food="short ribs", thick="40 mm x4", mass="400 g", want="57 C", bath="36 h", days="Sun")
    question = BatchQuestion(Top(begin="2027-10-29 17:30", at="18:30"), (lot,))
    batch = make_batch(understand_batch(question, FRIDAY, Kitchen(zone=PARIS)))
    (run,) = batch.runs
    assert elapsed_s(run.drop_in, run.ends) == minutes(36)
    assert run.ends.astimezone(PARIS) == datetime(2027, 10, 31, 5, 0, tzinfo=PARIS)
    assert any("out at 05:00 on Sun 31 Oct 2027" in line for line in batch.statements)
    (pull,) = (t for t in batch.run_sheet if t.key == "pull")
    assert "clocks go back by 1 h" in render(pull.what, METRIC)


def test_the_water_is_topped_up_in_waking_hours(plan: Plan) -> None:
    assert plan.water is not None
    assert plan.water.schedule.top_ups
    for top_up in (t for t in plan.run_sheet if t.key == "top-up"):
        assert 7 <= top_up.at.hour < 23
        assert minutes(10) <= top_up.since_drop_in_s <= minutes(36)


def test_the_ribs_are_looked_in_on_and_a_power_cut_is_reckoned(plan: Plan) -> None:
    assert any(t.key == "check" for t in plan.run_sheet)
    assert plan.water is not None
    assert any("Without power" in s for s in plan.water.statements)


def test_less_than_the_hours_of_the_wanted_texture_is_told(plan: Plan) -> None:
    # The softening figures ask for about 47 h at 57 C; practice for this cut ranges from 24 to 72 h.
    assert plan.works
    assert minutes(24) <= plan.window.softening_s <= minutes(72)
    assert any("Less tender" in note for note in plan.notes)
