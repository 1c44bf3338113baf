"""The run sheet: in order, from salt to table."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from tests.unit.plan.planning import NOW, asked, planned, slab

from corebath.food.naming import find
from corebath.outcome.results import find_result
from corebath.plan.clock import elapsed_s
from corebath.plan.make import make_plan
from corebath.plan.plan import Plan
from corebath.plan.request import Request, State
from corebath.units import METRIC, mark, render

SAMPLES = (
    asked(),
    asked("chicken-breast", set_point_C=62.0, piece_mass_kg=0.2, pieces=4),
    asked("salmon", set_point_C=52.0, parasites_frozen=True, seared=False),
    asked("pork-loin", slab(0.02), set_point_C=60.0, state=State.FROZEN),
    asked("carrot", slab(0.02), set_point_C=85.0),
    asked("egg", set_point_C=63.5),
    asked("beef-chuck", set_point_C=57.0, bath_s=40 * 3600.0),
    asked("beef-ribeye", hours=3.5),
    asked("beef-ribeye", hours=0.5),
)


@pytest.mark.parametrize("request_", SAMPLES, ids=lambda r: f"{r.food.key}-{r.state.value}")
def test_tasks_stand_in_order_from_the_bath_to_the_table(request_: Request) -> None:
    plan = make_plan(request_, offer=False)
    tasks = plan.run_sheet
    assert [t.since_drop_in_s for t in tasks] == sorted(t.since_drop_in_s for t in tasks)
    assert [t.at for t in tasks] == sorted(t.at for t in tasks)
    keys = [t.key for t in tasks if t.is_action]
    assert keys.index("preheat") < keys.index("drop-in") < keys.index("pull") < keys.index("serve")
    assert tasks[0].since_drop_in_s < 0
    # Only what is left over comes after the table.
    assert keys[-2:] == ["serve", "leftovers"]
    assert keys.count("drop-in") == keys.count("pull") == keys.count("serve") == 1
    at = {t.key: t.at for t in tasks}
    assert at["drop-in"] == plan.drop_in
    assert at["pull"] == plan.pull
    assert at["serve"] == plan.serve


@pytest.mark.parametrize("request_", SAMPLES, ids=lambda r: f"{r.food.key}-{r.state.value}")
def test_the_pull_is_the_drop_in_and_the_time_in_the_bath(request_: Request) -> None:
    plan = make_plan(request_, offer=False)
    assert elapsed_s(plan.drop_in, plan.pull) == pytest.approx(plan.bath_s, abs=1.0)
    assert plan.first_drop_in <= plan.last_drop_in
    if request_.bath_s is None:
        assert plan.drop_in == plan.last_drop_in
        assert plan.bath_s >= plan.window.ready_s
        assert plan.bath_s < plan.window.ready_s + 301
    # Served at the table time, up to the step that the drop-in is rounded by.
    assert abs(elapsed_s(plan.serve, request_.table_time)) <= 1.0


def whole_text(plan: Plan) -> list[str]:
    return [t.what for t in plan.run_sheet] + list(plan.notes) + [f.why for f in plan.failures]


@pytest.mark.parametrize("request_", SAMPLES, ids=lambda r: f"{r.food.key}-{r.state.value}")
def test_no_text_of_the_core_holds_a_bare_quantity(request_: Request) -> None:
    for text in whole_text(make_plan(request_)):
        bare = re.sub(r"\{[^}]*\}", "", text)
        assert not re.search(r"\d\s*(°|C\b|mm\b|min\b|h\b|kg\b|g\b)", bare), text


def test_salt_is_a_share_of_the_weight() -> None:
    plan = planned("beef-ribeye", piece_mass_kg=0.280)
    salt = next(t for t in plan.run_sheet if t.key == "salt")
    assert "2.8 g a piece (1 % of its weight)" in render(salt.what, METRIC, both=False)  # 1 % of 280 g


def test_a_frozen_piece_is_not_salted_and_thaws_on_the_way() -> None:
    plan = planned("pork-loin", slab(0.02), set_point_C=60.0, state=State.FROZEN)
    assert "salt" not in {t.key for t in plan.run_sheet}
    assert any("thawed" in t.what for t in plan.run_sheet if not t.is_action)


def test_no_dry_brine_that_would_have_had_to_start_yesterday() -> None:
    plan = planned("beef-ribeye", hours=3.5)
    salt = next(t for t in plan.run_sheet if t.key == "salt")
    assert salt.at >= NOW
    assert "no time for a dry brine" in salt.what


def test_nobody_gets_up_at_five_to_salt() -> None:
    """A dry brine of twelve hours before a dinner at half past seven: on the evening before, by an hour of our own."""
    tomorrow = NOW.replace(day=4, hour=19, minute=30)
    salt = next(t for t in planned("beef-ribeye", table_time=tomorrow).run_sheet if t.key == "salt")
    assert salt.at == NOW.replace(hour=18)
    assert "Dry brine" in salt.what
    # Asked in that evening already, it is salted at once.
    late = NOW.replace(hour=22)
    salt = next(t for t in planned("beef-ribeye", table_time=tomorrow, now=late).run_sheet if t.key == "salt")
    assert salt.at == late
    # Where twelve hours before is day, it stays.
    noon = NOW.replace(day=5, hour=0, minute=30)
    salt = next(t for t in planned("beef-ribeye", table_time=noon).run_sheet if t.key == "salt")
    assert 7 <= salt.at.hour < 23


def test_a_long_cook_is_looked_in_on() -> None:
    plan = planned("beef-chuck", set_point_C=57.0, bath_s=40 * 3600.0)
    checks = [t.since_drop_in_s for t in plan.run_sheet if t.key == "check"]
    assert checks
    assert max(b - a for a, b in zip([0.0, *checks], [*checks, plan.bath_s], strict=True)) <= 12 * 3600


@pytest.mark.parametrize("hour", range(0, 24, 2))
def test_nobody_gets_up_to_look_in(hour: int) -> None:
    """A look that would fall between 23:00 and 7:00 is made right before the night and right after it."""
    table = NOW.replace(hour=hour) + timedelta(days=3)
    plan = planned("beef-chuck", set_point_C=57.0, bath_s=40 * 3600.0, table_time=table)
    looks = [t for t in plan.run_sheet if t.key == "check"]
    assert looks
    assert all(7 <= t.at.hour < 23 for t in looks)
    times = [t.since_drop_in_s for t in looks]
    assert times == sorted(set(times))
    assert max(b - a for a, b in zip([0.0, *times], [*times, plan.bath_s], strict=True)) <= 12 * 3600
    moved = {(t.at.hour, t.at.minute) for t in looks if t.since_drop_in_s % (12 * 3600) != 6 * 3600}
    assert moved <= {(22, 55), (7, 0)}


def test_a_sear_is_named_only_where_one_follows() -> None:
    keys = {t.key for t in planned("beef-ribeye", seared=False).run_sheet}
    assert "finish" not in keys
    assert "finish" in {t.key for t in planned("beef-ribeye").run_sheet}


def test_layers_and_counts_reach_the_run_sheet() -> None:
    plan = planned("beef-ribeye", slab(0.02), pieces=4, layers=2)
    drop_in = next(t for t in plan.run_sheet if t.key == "drop-in")
    assert "all 4 pieces" in drop_in.what
    assert "2 against each other" in drop_in.what
    assert any("one block" in note for note in plan.notes)


def test_the_notes_say_what_lying_on_each_other_costs() -> None:
    piled, flat = (planned("beef-ribeye", slab(0.02), set_point_C=57.0, layers=n) for n in (2, 1))
    ready_s, late_s = (60.0 * round(plan.window.ready_s / 60.0) for plan in (flat, piled))
    told = f"Flat and apart they are ready after {mark(ready_s, 's')}, {mark(late_s - ready_s, 's')} sooner."
    assert told in piled.notes
    assert not any("Flat and apart" in note for note in flat.notes)


def test_cautions_of_the_food_are_handed_on() -> None:
    for name in ("beef-ribeye", "salmon", "egg"):
        assert set(find(name).cautions) <= set(planned(name).notes)


def test_a_set_point_moved_by_a_rule_is_explained() -> None:
    # Tuna flakes at 54 C, but for guests at risk the table's hold there is longer than its texture lasts.
    result = find_result("oily-fish", "flaking")
    plan = planned("tuna", result=result, guests_at_risk=True, parasites_frozen=True)
    assert plan.works
    assert result.set_point_C < plan.set_point_C <= result.high_C
    assert any("usual set point" in note for note in plan.notes)
    usual = planned("tuna", result=result, parasites_frozen=True)
    assert usual.set_point_C == result.set_point_C
    assert not any("usual set point" in note for note in usual.notes)


def test_food_that_is_warm_already_is_told_about() -> None:
    warm = planned("chicken-breast", slab(0.038), start_C=25.0)
    assert any("do not cook it" in note for note in warm.notes)
    for fine in (planned("chicken-breast", slab(0.038)), planned("carrot", start_C=20.0)):
        assert not any("do not cook it" in note for note in fine.notes)
