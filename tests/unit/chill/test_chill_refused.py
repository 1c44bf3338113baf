"""What is not kept, and what a reheating may not do: each line is one way in which a cook could be hurt."""

from __future__ import annotations

import pytest

from corebath.chill.ice import IceNeed, ice_finding, ice_needed, short_of_ice
from corebath.chill.keep import keep
from corebath.chill.reheat import Reheat, reheat
from corebath.chill.tables import keeping_rules, settings
from corebath.food.catalogue import catalogue
from corebath.food.freezing import freezing_table
from corebath.heat.body import Body, Shape
from corebath.heat.engine import Thermal
from corebath.heat.material import Material
from corebath.safety.authority import Authority
from corebath.safety.finding import Finding, Verdict
from corebath.safety.subject import Subject

CHUCK = catalogue()["beef-chuck"]
BEEF = Subject("beef")
THERMAL = Thermal(Material(0.5, 1055.0, 3600.0), freezing_table(CHUCK.composition, CHUCK.initial_freezing_C))


def warmed(
    subject: Subject = BEEF,
    *,
    thick_m: float = 0.03,
    start_C: float = 4.0,
    bath_C: float = 56.0,
    to_C: float | None = 55.0,
    authority: Authority = Authority.US,
    pasteurised: bool = True,
    cooked_C: float = 60.0,
    offset_K: float = 0.0,
) -> Reheat:
    return reheat(
        Body(Shape.SLAB, thick_m), THERMAL, start_C, bath_C, subject, authority,
        cooked_C=cooked_C, pasteurised=pasteurised, to_C=to_C, offset_K=offset_K,
    )  # fmt: skip


def by_rule(made: Reheat) -> dict[str, Finding]:
    return {f.rule: f for f in made.findings}


@pytest.mark.parametrize("authority", list(Authority))
@pytest.mark.parametrize("fridge_C", [1.0, 4.0, 5.0, 7.0, 8.0])
@pytest.mark.parametrize("opened", [False, True])
@pytest.mark.parametrize("guests", [False, True])
def test_an_unpasteurised_bag_never_keeps_longer_than_a_pasteurised_one(
    authority: Authority, fridge_C: float, opened: bool, guests: bool
) -> None:
    raw, done = (
        keep(authority, fridge_C=fridge_C, pasteurised=p, guests_at_risk=guests, opened=opened).days
        for p in (False, True)
    )
    assert raw <= done
    assert raw == 0 or not guests


def test_guests_at_risk_and_garlic_bring_their_cautions() -> None:
    plain = keep(Authority.US, fridge_C=4.0, pasteurised=True)
    assert plain.cautions == ()
    risk = keep(Authority.US, fridge_C=4.0, pasteurised=True, guests_at_risk=True, spores=True)
    assert any("pregnant" in text for text in risk.cautions)
    assert any("C. botulinum" in text for text in risk.cautions)


def test_garlic_in_the_bag_caps_the_days_above_the_growth_of_botulinum() -> None:
    # FDA hazards guidance, table A-4: non-proteolytic C. botulinum grows from 3.3 degC (value from memory).
    assert keep(Authority.UK, fridge_C=4.0, pasteurised=True, spores=True).days == 2
    assert keep(Authority.UK, fridge_C=3.3, pasteurised=True, spores=True).days == 2
    assert keep(Authority.UK, fridge_C=3.0, pasteurised=True, spores=True).days == 10
    assert keep(Authority.UK, fridge_C=4.0, pasteurised=False, spores=True).days == 1


def test_no_household_fridge_gives_a_month() -> None:
    for authority in Authority:
        for tenths in range(-20, 100):
            kept = keep(authority, fridge_C=tenths / 10, pasteurised=True)
            assert kept.days <= 10
            assert kept.rule is None or kept.rule.decides
    assert {rule.key for rule in keeping_rules() if not rule.decides} == {"review-31d", "review-90d"}
    cold = keep(Authority.UK, fridge_C=2.2, pasteurised=True)
    assert cold.rule is not None
    assert cold.rule.key == "uk-10d"
    assert "review-90d" in {rule.key for rule in cold.others}


def test_food_that_was_never_hot_is_eaten_and_not_kept() -> None:
    line_C = settings()["never_hot"]["core_C"]
    cool = keep(Authority.US, fridge_C=4.0, pasteurised=False, hottest_C=line_C)
    assert cool.days == 0
    assert "do not keep leftovers" in cool.statements[0]
    # A steak at 54 C was not pasteurised and is for the next day, chilled and warmed inside four hours in all.
    steak = keep(Authority.US, fridge_C=4.0, pasteurised=False, hottest_C=53.6, warm_s=3 * 3600.0)
    assert steak.days == 1
    slow = keep(Authority.US, fridge_C=4.0, pasteurised=False, hottest_C=53.6, warm_s=4 * 3600.0 + 60)
    assert slow.days == 0
    assert "{14460|s}" in slow.refused
    hot = keep(Authority.US, fridge_C=4.0, pasteurised=False, hottest_C=55.5, warm_s=9 * 3600.0)
    assert hot.days == 1


def test_what_is_not_known_is_not_met() -> None:
    unknown = keep(Authority.US, fridge_C=4.0, pasteurised=False).findings[1]
    assert unknown.verdict is Verdict.NOT_KNOWN
    assert unknown.binding
    iced = keep(Authority.US, fridge_C=4.0, pasteurised=True, cooled=Verdict.NOT_KNOWN).findings[1]
    assert iced.verdict is Verdict.NOT_KNOWN


def test_what_cooled_too_slowly_has_no_days() -> None:
    kept = keep(Authority.US, fridge_C=2.0, pasteurised=True, cooled=Verdict.NOT_MET)
    assert (kept.days, kept.rule) == (0, None)
    assert "cooling limits" in kept.statements[0]
    assert kept.findings[1].verdict is Verdict.NOT_MET


def test_a_warm_fridge_says_whose_limit_it_breaks() -> None:
    said = keep(Authority.US, fridge_C=7.0, pasteurised=True).statements[0]
    assert "does not meet the limit of {5|C}" in said
    assert "FDA Food Code 2022, 3-501.16" in said


def test_a_thick_piece_has_to_be_hot_in_four_hours_whatever_it_is_served_at() -> None:
    # FDA Food Code 2022, 3-501.19: 4 h without temperature control (value from memory).
    thick = by_rule(warmed(thick_m=0.12))["reheat-time-out"]
    assert thick.binding
    assert thick.verdict is Verdict.NOT_MET
    assert thick.title == "warmed: core at {54.4|C} within {14400|s} from the fridge"
    thin = by_rule(warmed())["reheat-time-out"]
    assert thin.verdict is Verdict.MET
    low = by_rule(warmed(bath_C=52.0, to_C=50.0))["reheat-time-out"]
    assert low.title.startswith("served below {54.4|C}")
    assert "grow by" in by_rule(warmed(thick_m=0.12))["reheat-growth"].why


def test_the_hours_to_hot_do_not_depend_on_what_it_is_served_at() -> None:
    served = [by_rule(warmed(bath_C=62.0, to_C=to_C))["reheat-time-out"].why for to_C in (54.5, 58.0, 61.0)]
    assert len(set(served)) == 1


@pytest.mark.parametrize(
    ("subject", "pasteurised", "binds"),
    [
        (Subject("chicken"), True, False),
        (Subject("chicken"), False, True),
        (Subject("beef"), False, False),
        (Subject("beef", handling="minced"), False, True),
        (Subject("beef", handling="rolled"), False, True),
        (Subject("pork", handling="stuffed"), False, True),
    ],
)
def test_what_may_carry_bacteria_inside_and_was_not_pasteurised_has_to_get_hot(
    subject: Subject, pasteurised: bool, binds: bool
) -> None:
    found = by_rule(warmed(subject, pasteurised=pasteurised))["reheat-hot-holding"]
    assert found.binding is binds
    if not pasteurised:
        assert "may be served at any temperature" not in found.why


@pytest.mark.parametrize("authority", list(Authority))
def test_each_profile_says_its_own_sentence_of_serving_at_once(authority: Authority) -> None:
    found = by_rule(warmed(authority=authority))["reheat-hot-holding"]
    assert settings()["hot_holding"][authority.value]["at_once"] in found.why
    assert ("3-403.10" in found.why) is (authority is Authority.US)


def test_a_thermometer_that_reads_too_high_slows_the_reheating() -> None:
    true, off = warmed(bath_C=60.0, to_C=50.0), warmed(bath_C=62.0, to_C=50.0, offset_K=2.0)
    assert off.runs.reach(50.0).cautious_s == pytest.approx(true.runs.reach(50.0).cautious_s)
    assert "set to {62|C}, in truth at {60|C}" in off.statements[0]
    with pytest.raises(ValueError, match=r"the bath's \{60\|C\}"):
        warmed(bath_C=62.0, to_C=61.0, offset_K=2.0)


def test_a_set_point_that_no_bath_has_is_refused() -> None:
    with pytest.raises(ValueError, match=r"cooked at must lie between \{40\|C\} and \{96\|C\}, got \{130\|C\}"):
        warmed(cooked_C=130.0)


def test_a_frozen_piece_is_not_told_of_the_fridge_of_the_day_before() -> None:
    why = by_rule(warmed(start_C=-18.0, pasteurised=False))["reheat-pasteurised-before"].why
    assert "frozen on the day it was cooked" in why
    assert "fridge" not in why


def need(room_C: float = 20.0) -> IceNeed:
    return ice_needed(
        food_kg=1.8, food_cp_J_kgK=3600.0, from_C=60.0, to_C=5.0, water_kg=1.0, water_C=15.0, chill_s=8400.0,
        room_C=room_C,
    )  # fmt: skip


def test_one_figure_for_the_ice_that_melts() -> None:
    least = need().melts_kg + need().room_low_kg
    assert f"{{{least!r}|kg}}" in need().statements[0]
    assert f"{{{least!r}|kg}} melt at the least" in ice_finding(0.2, need()).why


def test_without_ice_no_cooling_limit_is_met() -> None:
    met = Finding("food-code-cooling", "cooling", Verdict.MET, True, "It took {60|s}.", "source", achieved=2.0)
    late = Finding("food-code-cooling", "cooling", Verdict.NOT_MET, True, "It took {60|s}.", "source")
    first, second = short_of_ice((met, late))
    assert first.verdict is Verdict.NOT_KNOWN
    assert first.binding
    assert "only while ice floats" in first.why
    assert second is late
