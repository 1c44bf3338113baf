"""A guest at higher risk hears in the answer itself what is better left out; the list is in the cautions, no source."""

from __future__ import annotations

import pytest
from tests.acceptance.kitchens import plan_of

from corebath.show.sentences import answer
from corebath.units import METRIC


@pytest.mark.parametrize(
    ("food", "thick", "want", "left_out"),
    [("ground beef", "25 mm", "57 C", "minced meat"), ("egg", "43 mm", "63 C", "a runny egg")],
)
def test_what_is_better_left_out_stands_in_the_answer(food: str, thick: str, want: str, left_out: str) -> None:
    told = answer(plan_of(food=food, thick=thick, want=want, eat="20:00", guests="risk"), METRIC)
    assert told.startswith(
        f"For the guest at higher risk, {'lightly cooked ' if left_out != 'a runny egg' else ''}{left_out}"
    )
    plain = answer(plan_of(food=food, thick=thick, want=want, eat="20:00"), METRIC)
    assert "For the guest at higher risk" not in plain
    assert ("not for guests at higher risk" in plain) is (food == "egg")


def test_it_is_said_where_the_plan_fails_too() -> None:
    failing = plan_of(food="salmon", thick="25 mm", want="50 C", eat="20:00", fish="frozen", guests="risk")
    assert not failing.works
    assert answer(failing, METRIC).startswith("For the guest at higher risk, lightly cooked fish is better left out")


def test_a_time_far_past_the_usual_one_is_said() -> None:
    """Within four hours for tender steaks: common practice, no source."""
    long = plan_of(food="ribeye", thick="35 mm", want="medium rare", bath="30 h", eat="tomorrow 23:30")
    assert "this result is usually said to bear 4 h at most" in answer(long, METRIC)
    usual = plan_of(food="ribeye", thick="35 mm", want="medium rare", eat="20:00")
    assert "usually said to bear" not in answer(usual, METRIC)


def test_a_steak_needs_no_such_words() -> None:
    told = answer(plan_of(food="ribeye", thick="30 mm", want="57 C", eat="20:00", guests="risk"), METRIC)
    assert "left out" not in told
