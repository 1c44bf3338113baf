"""Shares and portions: every food has them, each with its source."""

from __future__ import annotations

import pytest

from corebath.food.catalogue import catalogue
from corebath.food.files import rows
from corebath.food.yields import Appetite, Loss, Share, loss_share, portion_kg, portion_source


@pytest.mark.parametrize("key", catalogue())
def test_every_food_has_every_share_and_a_portion(key: str) -> None:
    food = catalogue()[key]
    for loss in Loss:
        share = loss_share(food, loss)
        assert 0 <= share.low <= share.nominal <= share.high < 1
        assert share.source
        assert share.how in ("read", "memory", "computed")
    sizes = [portion_kg(food, appetite) for appetite in Appetite]
    assert sizes == sorted(sizes)
    assert all(portion_source(food, appetite) for appetite in Appetite)


def test_food_with_bones_in_the_catalogue_has_a_share_of_them() -> None:
    with_bones = {row["key"] for row in rows("foods.csv") if "bone" in row["cautions"].split("|")}
    for key, food in catalogue().items():
        assert (loss_share(food, Loss.BONE).nominal > 0) == (key in with_bones or key == "egg"), key


def test_no_row_is_for_nothing() -> None:
    known = {word for food in catalogue().values() for word in (food.key, food.texture.value, food.kind.value)}
    assert {row["of"] for row in rows("yields.csv")} <= known


@pytest.mark.parametrize("ends", [(0.5, 0.6, 0.7), (0.2, -0.1, 0.3), (0.5, 0.2, 1.0), (float("nan"), 0.1, 0.2)])
def test_a_share_that_is_none_is_refused(ends: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="a share must rise"):
        Share(*ends, "", "", "")
