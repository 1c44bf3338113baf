"""Every figure of the catalogue lies in a physical band and has a source; names find their food."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.food import (
    AmbiguousFood,
    Food,
    Handling,
    Kind,
    Texture,
    UnknownFood,
    catalogue,
    find,
    search,
    sources,
)
from corebath.food.files import rows
from corebath.food.naming import fold, place_name

FOODS = list(catalogue().values())
SHAPES = {"slab", "cylinder", "ball", "bar", "short-cylinder", "brick"}
PLACES = {"US", "UK", "AU", "AT", "fr", "de"}
MEAT = (Kind.BEEF, Kind.VEAL, Kind.PORK, Kind.LAMB, Kind.GAME, Kind.WILD_GAME)
# Bands of mass fractions by kind (common practice, no source): wide enough for any raw cut, narrow enough
# to catch a slipped digit or a shifted column.
BANDS: dict[Kind, dict[str, tuple[float, float]]] = {
    **{kind: {"water": (0.35, 0.78), "protein": (0.09, 0.25), "fat": (0.01, 0.55)} for kind in MEAT},
    **{
        kind: {"water": (0.60, 0.78), "protein": (0.15, 0.25), "fat": (0.01, 0.20)}
        for kind in (Kind.CHICKEN, Kind.TURKEY, Kind.DUCK)
    },
    Kind.FISH: {"water": (0.60, 0.84), "protein": (0.14, 0.26), "fat": (0.003, 0.16)},
    Kind.SHELLFISH: {"water": (0.74, 0.82), "protein": (0.13, 0.22), "fat": (0.005, 0.03)},
    Kind.EGG: {"water": (0.74, 0.78), "protein": (0.11, 0.14), "fat": (0.08, 0.11)},
    Kind.VEGETABLE: {"water": (0.74, 0.95), "protein": (0.005, 0.04), "fat": (0.0, 0.01)},
}


@pytest.mark.parametrize("food", FOODS, ids=lambda food: food.key)
def test_figures_lie_in_the_band_of_their_kind(food: Food) -> None:
    for name, (low, high) in BANDS[food.kind].items():
        assert low <= getattr(food.composition, name) <= high, name
    assert food.composition.ash <= 0.03
    # The lowest initial freezing point of a raw food in the table is -2.8 degC, the highest -0.5.
    assert -3.0 <= food.initial_freezing_C <= -0.5


@pytest.mark.parametrize("food", FOODS, ids=lambda food: food.key)
def test_every_figure_and_sentence_has_a_source_that_resolves(food: Food) -> None:
    known = sources()
    assert known[food.composition_source]
    assert known[food.freezing_source]
    assert food.composition_note
    assert food.freezing_note
    for caution in food.sourced_cautions:
        assert known[caution.source]


@pytest.mark.parametrize("food", FOODS, ids=lambda food: food.key)
def test_entries_are_whole(food: Food) -> None:
    assert food.cautions
    assert food.hazards
    assert food.usual_shape in SHAPES
    assert {"US", "UK", "fr", "de"} <= {word.place for word in food.words} <= PLACES
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", food.key)
    assert (food.default_handling is Handling.MINCED) == ("minced" in food.name)


def test_the_catalogue_holds_every_kind_and_texture_and_enough_foods() -> None:
    assert len(FOODS) >= 60
    assert {food.kind for food in FOODS} == set(Kind)
    assert {food.texture for food in FOODS} == set(Texture)
    assert len({food.name for food in FOODS}) == len(FOODS)


def test_cautions_promise_nothing_and_hold_quantities_only_as_marks() -> None:
    for row in rows("cautions.csv"):
        bare = re.sub(r"\{[^}]*\}", "", row["text"])
        assert not re.search(r"\bsafe\b|[0-9]", bare), row["key"]
        assert row["text"].endswith(".")


def test_data_files_hold_no_orphans_or_doubles() -> None:
    foods = rows("foods.csv")
    used = {
        "composition.csv": {row["composition"] for row in foods},
        "freezing.csv": {row["freezing"] for row in foods},
        "cautions.csv": {key for row in foods for key in row["cautions"].split("|")},
    }
    for name, keys in used.items():
        held = [row["key"] for row in rows(name)]
        assert set(held) == keys, name
        assert len(held) == len(set(held)), name
    assert {row["food"] for row in rows("synonyms.csv")} == {row["key"] for row in foods}
    places = [(row["food"], row["word"], place) for row in rows("synonyms.csv") for place in row["places"].split("|")]
    assert [item for item, count in Counter(places).items() if count > 1] == []
    for name in (
        "components.csv", "composition.csv", "freezing.csv", "cautions.csv", "unsupported.csv", "opened_words.csv",
    ):  # fmt: skip
        assert {row["source"] for row in rows(name)} <= set(sources()), name


def test_a_figure_from_memory_says_so() -> None:
    for row in rows("composition.csv"):
        assert (row["how"] == "memory") == (row["source"] == "memory")
        assert row["how"] in ("read", "memory", "computed")
    for food in FOODS:
        if food.composition_source == "memory":
            assert "value from memory" in food.composition_note, food.key


@pytest.mark.parametrize("food", FOODS, ids=lambda food: food.key)
def test_key_and_name_find_the_food(food: Food) -> None:
    assert find(food.key) is food
    assert find(food.name.upper()) is food
    assert food in search(food.name, 5)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("Rib-Eye", "beef-ribeye"),
        ("  rib   eye ", "beef-ribeye"),
        ("ENTRECOTE", "beef-ribeye"),
        ("Côte de boeuf", "beef-rib"),
        ("New York strip", "beef-striploin"),
        ("contre filet", "beef-striploin"),
        ("shin of beef", "beef-shin"),
        ("Boston butt", "pork-shoulder"),
        ("Schopf", "pork-shoulder"),
        ("gigot", "lamb-leg"),
        ("magret", "duck-breast"),
        ("Möhren", "carrot"),
        ("potatoes", "potato"),
        ("prawns", "shrimp"),
        ("oeufs", "egg"),
        ("beets", "beetroot"),
    ],
)
def test_synonyms_find_their_food(text: str, key: str) -> None:
    assert find(text).key == key


@pytest.mark.parametrize(
    ("text", "place", "key", "other_place", "other_key"),
    [
        ("sirloin", "UK", "beef-striploin", "US", "beef-rump"),
        ("rump steak", "de", "beef-striploin", "UK", "beef-rump"),
        ("porterhouse", "AU", "beef-striploin", "US", "beef-t-bone"),
        ("filet mignon", "fr", "pork-tenderloin", "US", "beef-tenderloin"),
    ],
)
def test_a_word_for_two_cuts_is_asked_about(text: str, place: str, key: str, other_place: str, other_key: str) -> None:
    with pytest.raises(AmbiguousFood, match=re.escape(place_name(place))) as caught:
        find(text)
    assert place_name(place) != place
    meant = {food.key: places for food, places in caught.value.candidates}
    assert place in meant[key]
    assert other_place in meant[other_key]
    assert find(text, place=place).key == key
    assert find(text, place=other_place).key == other_key


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("Haehnchenbrust", "chicken-breast"),
        ("Lammruecken", "lamb-loin"),
        ("Moehre", "carrot"),
        ("Kaenguru", None),
        ("rote Beete", "beetroot"),
        ("Hüfte", "beef-rump"),
        ("Huefte", "beef-rump"),
        ("St Jacques", "scallop"),
        ("noix de St-Jacques", "scallop"),
        ("souris d’agneau", "lamb-shank"),
        ("veal chop", "veal-loin"),
    ],
)
def test_more_spellings_find_their_food(text: str, key: str | None) -> None:
    if key is None:
        with pytest.raises(UnknownFood):
            find(text)
    else:
        assert find(text).key == key


def test_an_umlaut_written_out_joins_no_two_names() -> None:
    meant: dict[str, set[str]] = {}
    apart: dict[str, set[str]] = {}
    for food in FOODS:
        for word in food.words:
            meant.setdefault(fold(word.text), set()).add(food.key)
            plain = "".join(c for c in unicodedata.normalize("NFKD", word.text.casefold()) if c.isalnum())
            apart.setdefault(plain, set()).add(food.key)
    assert sum(len(keys) > 1 for keys in meant.values()) == sum(len(keys) > 1 for keys in apart.values())


@pytest.mark.parametrize("text", ["mince", "Hackfleisch", "viande hachée", "poulet", "Hirsch", "venison", "filet"])
def test_a_word_for_several_animals_or_cuts_is_asked_about(text: str) -> None:
    for place in (None, "UK", "de", "fr"):
        with pytest.raises(AmbiguousFood) as caught:
            find(text, place=place)
        assert len(caught.value.candidates) > 1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("sausage", "minced meat is planned"), ("bratwurst", "minced meat is planned"),
        ("black pudding", "minced meat is planned"), ("ham", "fresh pork is planned"), ("crab", "lobster tail"),
        ("corn", "no softening figures"), ("squash", "no softening figures"), ("pumpkin", "no softening figures"),
        ("zucchini", "no softening figures"), ("brussels sprouts", "no softening figures"), ("Rosenkohl", "softening"),
        ("tofu", "Tofu"), ("cheese", "Cheese"), ("goose", "duck breast"), ("apple", "Fruit"),
        ("barramundi", "sea bass"),
        ("liver", "Liver"), ("heart", "offal"), ("Rehrücken", "hunted"), ("chevreuil", "hunted"),
    ],
)  # fmt: skip
def test_foods_without_figures_say_what_is_missing_and_what_is_planned(text: str, said: str) -> None:
    with pytest.raises(UnknownFood, match=said) as caught:
        find(text)
    assert str(caught.value).count(".") == 1
    assert caught.value.near == ()


@pytest.mark.parametrize("text", ["fish", "cake", "moose", "kangaroo", "noodle soup", "panda"])
def test_near_names_are_near(text: str) -> None:
    with pytest.raises(UnknownFood) as caught:
        find(text)
    assert caught.value.near == ()


@pytest.mark.parametrize(("text", "first"), [("chikn", "chicken breast, skinless"), ("beetrut", "beetroot")])
def test_a_slip_in_one_word_of_a_name_is_near_it(text: str, first: str) -> None:
    with pytest.raises(UnknownFood) as caught:
        find(text)
    assert caught.value.near[0] == first


def test_left_out_foods_say_why() -> None:
    for word in ("chickpeas", "lentils", "Kichererbsen", "kidney bean"):
        with pytest.raises(UnknownFood, match="Pulses are not planned here"):
            find(word)
    with pytest.raises(UnknownFood, match="grains"):
        find("rice")


def test_unknown_foods_name_near_ones() -> None:
    with pytest.raises(UnknownFood) as caught:
        find("samlon")
    assert "salmon, farmed" in caught.value.near
    assert len(caught.value.near) <= 5
    with pytest.raises(UnknownFood, match="chicken breast, skinless"):
        find("chicken")


@pytest.mark.parametrize("text", ["", "   ", "\x00", "🦄", "x" * 1_000_000, "nan"])
def test_nonsense_is_refused_in_one_short_sentence(text: str) -> None:
    with pytest.raises(UnknownFood) as caught:
        find(text)
    message = str(caught.value)
    assert len(message) < 300
    assert message.isprintable()


@given(st.text(max_size=100))
def test_any_text_finds_a_food_or_is_refused(text: str) -> None:
    try:
        assert find(text).key in catalogue()
    except (UnknownFood, AmbiguousFood) as refusal:
        assert str(refusal).isprintable()  # noqa: PT017 - either outcome is right


def test_search_ranks_beginnings_first_and_keeps_to_its_limit() -> None:
    found = search("sal", 4)
    assert found[0].kind is Kind.FISH
    assert len(found) <= 4
    assert search("") == []
    assert search("beef", 0) == []
    assert search("xqzwv") == []
