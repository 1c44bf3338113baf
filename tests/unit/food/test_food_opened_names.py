"""Names that say a cut was opened, and offal: neither may lead to the whole cut without a word."""

from __future__ import annotations

import pytest

from corebath.food.files import rows
from corebath.food.kinds import Handling
from corebath.food.naming import UnknownFood, find


@pytest.mark.parametrize(
    ("name", "handling"),
    [
        ("stuffed chicken breast", "stuffed"),
        ("rolled brisket", "rolled"),
        ("Tenderised steak", "tenderised"),
        ("cube steak", "tenderised"),
        ("gefüllte Hähnchenbrust", "stuffed"),
    ],
)
def test_near_names_of_an_opened_cut_come_with_its_handling(name: str, handling: str) -> None:
    with pytest.raises(UnknownFood, match=f"say as well that it is {handling}") as refused:
        find(name)
    assert refused.value.near
    assert "--handling" in str(refused.value)


def test_a_plain_unknown_name_says_nothing_of_handling() -> None:
    with pytest.raises(UnknownFood) as refused:
        find("brisquet")
    assert "--handling" not in str(refused.value)


@pytest.mark.parametrize("name", ["duck liver", "beef heart", "Lamb kidneys", "sweetbread", "Rinderherz", "hígado"])
def test_offal_is_refused_with_its_reason(name: str) -> None:
    with pytest.raises(UnknownFood, match="not planned here") as refused:
        find(name)
    assert refused.value.near == ()


def test_every_opened_word_means_a_handling_and_stands_once() -> None:
    words = [row["word"] for row in rows("opened_words.csv")]
    assert len(set(words)) == len(words)
    assert {row["handling"] for row in rows("opened_words.csv")} == set(Handling) - {Handling.INTACT}
