"""Wanted results: every class has some, every band makes sense, and cooks' spellings find them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.data_files import read_rows
from corebath.food.kinds import Kind, Texture
from corebath.language import translated
from corebath.outcome.juiciness import cook_loss_pct
from corebath.outcome.results import Result, UnknownResult, find_result, results_for, textures

ALL: tuple[Result, ...] = tuple(result for texture in textures() for result in results_for(texture))


def test_every_texture_class_has_one_to_six_results() -> None:
    assert len(textures()) == 22
    assert all(1 <= len(results_for(texture)) <= 6 for texture in textures())


@pytest.mark.parametrize("result", ALL, ids=lambda r: f"{r.texture}:{r.key}")
def test_bands_hold_their_set_point_and_windows_are_ordered(result: Result) -> None:
    assert result.low_C <= result.set_point_C <= result.high_C
    assert (result.set_point_C * 2) % 1 == 0
    assert 0 < result.hold_low_s < result.hold_high_s
    assert result.source == "common practice, no source"


def test_results_come_coolest_first() -> None:
    for texture in textures():
        set_points = [result.set_point_C for result in results_for(texture)]
        assert set_points == sorted(set_points)


def test_names_mean_one_result_within_a_class() -> None:
    for texture in textures():
        names = [n for r in results_for(texture) for n in {r.key, r.words.replace(" ", "-"), *r.also}]
        assert len(names) == len(set(names))


@pytest.mark.parametrize(
    ("texture", "text", "key"),
    [
        ("tender-red", "Medium Rare", "medium-rare"),
        ("tender-red", " medium-rare ", "medium-rare"),
        ("tender-red", "MÉDIUM", "medium"),
        ("pork-shoulder", "pulled", "pull-apart"),
        ("oily-fish", "moist, barely flaking", "moist"),
        ("egg-in-shell", "custard yolk", "custard-yolk"),
    ],
)
def test_spellings_find_the_result(texture: str, text: str, key: str) -> None:
    assert find_result(texture, text).key == key


def test_near_names_are_offered() -> None:
    with pytest.raises(UnknownResult, match="medium-rare") as caught:
        find_result("tender-red", "medum rare")
    assert caught.value.near[0] == "medium-rare"


def test_unknown_texture_names_the_accepted_ones() -> None:
    with pytest.raises(ValueError, match="accepted: tender-red"):
        results_for("cloud")


@given(st.sampled_from(ALL), st.booleans())
def test_every_result_is_found_by_its_key_and_words(result: Result, shout: bool) -> None:
    for name in (result.key, result.words, *result.also):
        assert find_result(result.texture, name.upper() if shout else name) == result


def test_classes_and_kinds_are_those_of_the_catalogue() -> None:
    assert set(textures()) == {str(texture) for texture in Texture}
    for kind in Kind:
        assert cook_loss_pct(60.0, 2.0, kind).shape == ()


@pytest.mark.parametrize("language", ["fr", "de", "es"])
def test_the_words_that_a_page_prints_are_understood(language: str) -> None:
    for result in ALL:
        printed = translated(result.words, language)
        assert find_result(result.texture, printed) == result, printed


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("bleu", "blue"), ("saignant", "rare"), ("à point", "medium"), ("A POINT", "medium"),
        ("bien cuit", "well-done"),
        ("englisch", "rare"), ("blutig", "rare"), ("rosa", "medium"), ("durch", "well-done"),
        ("poco hecho", "rare"), ("al punto", "medium"), ("término medio", "medium"), ("muy hecho", "well-done"),
    ],
)  # fmt: skip
def test_the_trade_s_words_of_other_languages_are_understood(text: str, key: str) -> None:
    # How steak is ordered in France, Germany and Spain (common practice, no source).
    assert find_result("tender-red", text).key == key
    with pytest.raises(UnknownResult):
        find_result("root-vegetable", text)


def test_a_word_of_another_language_stands_for_one_result() -> None:
    rows = read_rows("corebath.outcome", "result_words.csv")
    names = {name for result in ALL for name in (result.key, result.words, *result.also)}
    assert {row["means"] for row in rows} <= names
    assert len({row["word"] for row in rows}) == len(rows)
    assert all(row["source"] for row in rows)
