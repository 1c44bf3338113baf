"""Two cooks beside each other, in a sentence."""

from __future__ import annotations

from dataclasses import replace

from tests.unit.log.learned_cooks import three_chucks
from tests.unit.plan.planning import slab

from corebath.log.compare import compare
from corebath.log.cook import Rating
from corebath.log.learn_drive import Settings
from corebath.log.learn_taste import CookedOutcome
from corebath.plan.data import spreads
from corebath.units import METRIC, US, render


def names(a: CookedOutcome, b: CookedOutcome, *, real: bool) -> set[str]:
    return {d.name for d in compare(a, b).differences if d.real is real}


def test_same_cook_is_the_same() -> None:
    a, _, _ = three_chucks()
    assert compare(a, a).sentence == "The first is a, the second is a. The second was the same in all that is known."


def test_hours_and_temperature_are_told() -> None:
    a, b, c = three_chucks()
    assert "hours at temperature" in names(a, b, real=True)
    assert "set point" not in names(a, b, real=True)
    assert {"set point", "juice lost", "look"} <= names(b, c, real=True)
    sentence = render(compare(b, c).sentence, METRIC, both=False)
    assert sentence.startswith(
        "The first is b, the second is c. The second was set 5 °C higher (60 °C instead of 55 °C)"
    )
    assert "within the noise" in sentence
    for preference in (METRIC, US):
        assert "{" not in render(sentence, preference)


def test_twelve_hours_are_within_what_animals_differ_by() -> None:
    """Softening by half again lies within the scatter of single animals; the sentence says so."""
    a, b, _ = three_chucks()
    assert "softening" in names(a, b, real=False)


def moved(cook: CookedOutcome, **answers: float | str | None) -> CookedOutcome:
    return replace(cook, name="other", settings=replace(cook.settings, **answers))  # type: ignore[arg-type]


def test_noise_is_that_of_the_plans_spreads() -> None:
    """Nine in ten pairs differ by no more than 1.645 sqrt(2) standard deviations (normal table)."""
    a, _, _ = three_chucks()
    edge = 1.645 * 2**0.5 * spreads()["set_point"]["absolute_K"]
    assert "set point" in names(a, moved(a, set_point_C=55.0 + 0.98 * edge), real=False)
    assert "set point" in names(a, moved(a, set_point_C=55.0 + 1.02 * edge), real=True)
    thick = 1.645 * 2**0.5 * spreads()["thickness"]["relative"]
    assert "thickness" in names(a, replace(a, thickness_m=a.thickness_m * (1 + 0.9 * thick)), real=False)
    assert "thickness" in names(a, replace(a, thickness_m=a.thickness_m * (1 + 1.2 * thick)), real=True)


def test_one_step_of_rating_is_noise_and_two_are_not() -> None:
    a, _, _ = three_chucks()
    low, mid, high = (replace(a, name=n, rating=Rating(tender=t)) for n, t in (("x", -1), ("y", 0), ("z", 1)))
    assert names(low, mid, real=False) == {"rating of tenderness"}
    assert names(low, high, real=True) == {"rating of tenderness"}
    assert "was rated too soft instead of too firm" in compare(low, high).sentence


def test_salt_and_sear_are_told() -> None:
    a, _, _ = three_chucks()
    assert names(a, moved(a, salt_percent=1.2), real=True) == {"salt"}
    assert "had 1.2 % of salt instead of 1 %" in compare(a, moved(a, salt_percent=1.2)).sentence
    assert names(a, moved(a, surface="wet"), real=True) == {"surface"}
    assert names(a, moved(a, surface=None), real=True) == {"surface"}
    assert names(a, moved(a, pan_C=250.0), real=True) == {"pan"}


def test_foods_of_two_classes_share_no_measure() -> None:
    a, _, _ = three_chucks()
    fish = CookedOutcome(
        "fish",
        a.cooked_at,
        "salmon",
        "oily-fish",
        "fish",
        Settings(50.0, 0.5, 1500.0),
        slab(0.02).thickness_m,
        Rating(),
    )
    differing = names(a, fish, real=True)
    assert "food" in differing
    assert not differing & {"juice lost", "look", "softening"}


def test_hours_nobody_told_are_not_compared() -> None:
    a, b, _ = three_chucks()
    told = compare(a, replace(b, timed=False))
    assert not {d.name for d in told.differences} & {"hours at temperature", "juice lost", "look", "softening"}
    assert told.left_out.startswith("How long the second stayed in the bath is not recorded")
    assert compare(a, b).left_out == ""


def test_chance_is_said_only_of_what_was_not_chosen() -> None:
    _, b, c = three_chucks()
    standing = {d.name: d.standing for d in compare(b, c).differences}
    assert standing["set point"] == "chosen"
    assert standing["hours at temperature"] == "chosen"
    assert standing["juice lost"] == "more than chance"
    a, _, _ = three_chucks()
    assert {d.standing for d in compare(a, moved(a, set_point_C=55.1)).differences if d.name == "set point"} == {
        "within chance"
    }


def test_a_rating_is_named_once() -> None:
    a, _, _ = three_chucks()
    none, right, much = (replace(a, name=n, rating=Rating(crust=t)) for n, t in (("x", -1), ("y", 0), ("z", 2)))
    assert "was rated too little crust instead of far too much crust" in compare(much, none).sentence
    assert "was rated just right in crust instead of far too much crust" in compare(much, right).sentence
    assert "crust for crust" not in compare(much, none).sentence


def test_the_difference_printed_is_that_of_the_figures_printed() -> None:
    """7 min 40 s apart, printed as 1 h 5 min and 1 h: 5 min, and not the 10 min that 7 min 40 s rounds to."""
    a, _, _ = three_chucks()
    longer, shorter = (moved(a, hours=s / 3600) for s in (4040.0, 3580.0))
    assert "was hot through for 1 h instead of 1 h 5 min (5 min less)" in render(
        compare(longer, shorter).sentence, METRIC
    )
    assert "was hot through for 1 h 5 min instead of 1 h (5 min more)" in render(
        compare(shorter, longer).sentence, METRIC
    )
    same = (moved(a, hours=s / 3600) for s in (3748.0, 3452.0))
    assert "was hot through" not in compare(*same).sentence
