"""Leftovers of a menu: a dish whose core was never hot has none to keep."""

from __future__ import annotations

from tests.unit.plan.menu.dinners import steak_and_carrots

from corebath.plan.menu.solve import plan_menu


def test_a_dish_that_was_never_hot_has_no_leftovers_in_the_sheet_of_a_menu() -> None:
    made = plan_menu(steak_and_carrots())
    said = {task.dishes: task.what for task in made.run_sheet if task.key == "leftovers"}
    assert "keep no leftovers" in said[("ribeye",)]
    assert "fridge" in said[("carrots",)]
