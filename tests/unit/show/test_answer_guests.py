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
    assert f"{left_out} is better left out" in told
    plain = answer(plan_of(food=food, thick=thick, want=want, eat="20:00"), METRIC)
    assert "For the guest at higher risk" not in plain
    assert ("not for guests at higher risk" in plain) is (food == "egg")


def test_a_steak_needs_no_such_words() -> None:
    told = answer(plan_of(food="ribeye", thick="30 mm", want="57 C", eat="20:00", guests="risk"), METRIC)
    assert "left out" not in told
