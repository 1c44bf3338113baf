"""Keeping, labels and reheating."""

from __future__ import annotations

import re
from datetime import date

import pytest

from corebath.chill.keep import keep, label
from corebath.chill.reheat import Reheat, reheat
from corebath.chill.tables import keeping_rules
from corebath.food.catalogue import catalogue
from corebath.food.freezing import freezing_table
from corebath.heat.body import Body, Shape
from corebath.heat.engine import Thermal
from corebath.heat.material import Material
from corebath.safety.authority import Authority
from corebath.safety.finding import Finding, Verdict
from corebath.safety.subject import Subject
from corebath.units import METRIC, US, render

CHICKEN = catalogue()["chicken-breast"]
THERMAL = Thermal(Material(0.5, 1055.0, 3600.0), freezing_table(CHICKEN.composition, CHICKEN.initial_freezing_C))
BREAST = Body(Shape.SLAB, 0.038)
COOKED = date(2027, 1, 3)


@pytest.mark.parametrize(
    ("authority", "fridge_C", "pasteurised", "guests", "opened", "days", "rule"),
    [
        (Authority.US, 4.0, True, False, False, 7, "food-code-7d"),
        (Authority.US, 0.5, True, False, False, 7, "food-code-7d"),
        (Authority.US, 5.0, True, False, False, 5, "review-5d"),
        (Authority.US, 7.0, True, False, False, 2, "house-warm-fridge"),
        (Authority.US, None, True, False, False, 2, "house-warm-fridge"),
        (Authority.US, 4.0, False, False, False, 1, "house-next-day"),
        (Authority.US, 4.0, True, True, False, 2, "house-guests"),
        (Authority.US, 9.0, True, False, False, 0, None),
        (Authority.US, 7.0, True, True, False, 0, None),
        (Authority.UK, 4.0, True, False, False, 10, "review-10d"),
        (Authority.UK, 4.0, True, False, True, 2, "house-opened"),
        (Authority.AU, 4.0, True, False, False, 5, "victoria-5d"),
    ],
)
def test_the_strictest_named_rule_decides(
    authority: Authority,
    fridge_C: float | None,
    pasteurised: bool,
    guests: bool,
    opened: bool,
    days: int,
    rule: str | None,
) -> None:
    kept = keep(authority, fridge_C=fridge_C, pasteurised=pasteurised, guests_at_risk=guests, opened=opened)
    assert kept.days == days
    assert (kept.rule.key if kept.rule else None) == rule
    assert all(other.days >= days for other in kept.others)
    assert kept.statements
    assert all(f.source for f in kept.findings)


def test_a_colder_fridge_never_shortens_the_days() -> None:
    for authority in Authority:
        days = [keep(authority, fridge_C=t / 10, pasteurised=True).days for t in range(100, -20, -1)]
        assert days == sorted(days)


def test_a_warm_fridge_fails_cold_holding_and_an_unmeasured_one_is_not_known() -> None:
    assert keep(Authority.US, fridge_C=7.0, pasteurised=True).findings[0].verdict is Verdict.NOT_MET
    assert keep(Authority.UK, fridge_C=7.0, pasteurised=True).findings[0].verdict is Verdict.MET
    assert keep(Authority.US, fridge_C=None, pasteurised=True).findings[0].verdict is Verdict.NOT_KNOWN


@pytest.mark.parametrize("fridge_C", [float("nan"), 30.0, -18.0])
def test_a_fridge_that_is_none_is_refused(fridge_C: float) -> None:
    with pytest.raises(ValueError, match=r"between \{-2\|C\} and \{20\|C\}"):
        keep(Authority.US, fridge_C=fridge_C, pasteurised=True)


def test_every_rule_has_a_source() -> None:
    assert all(rule.source and rule.days > 0 for rule in keeping_rules())


def test_labels_say_what_and_until_when() -> None:
    kept = keep(Authority.US, fridge_C=4.0, pasteurised=True)
    made = label(
        "chicken breast", cooked_C=62.0, cooked_s=5400.0, cooked=COOKED, keeping=kept, treatment="7-log Salmonella"
    )
    assert made.use_by == date(2027, 1, 9)  # the day of cooking is day one of seven
    assert render("; ".join(made.lines), METRIC, both=False) == (
        "chicken breast; cooked 2027-01-03 at 62 °C for 1 h 30 min; 7-log Salmonella; "
        "use by 2027-01-09, kept at 4 °C or below; FDA Food Code 3-502.12(D): cooked in its bag and chilled"
    )
    raw = label("steak", cooked_C=54.0, cooked_s=3600.0, cooked=COOKED, keeping=kept, treatment="")
    assert "heated, not pasteurised" in raw.lines


@pytest.mark.parametrize(
    ("authority", "fridge_C", "printed"),
    [
        (Authority.US, None, "5 °C"),
        (Authority.AU, None, "5 °C"),
        (Authority.UK, None, "7 °C"),
        (Authority.US, 7.0, "5 °C"),
        (Authority.US, 3.0, "3 °C"),
    ],
)
def test_a_label_never_asks_for_more_than_the_cold_holding_limit(
    authority: Authority, fridge_C: float | None, printed: str
) -> None:
    """Limits: FDA Food Code 2022, 3-501.16 (memory); England 8 °C (memory); Victoria class 2 supplement (read)."""
    kept = keep(authority, fridge_C=fridge_C, pasteurised=True)
    made = label("chicken", cooked_C=62.0, cooked_s=5400.0, cooked=COOKED, keeping=kept, treatment="")
    assert f"kept at {printed} or below" in render("; ".join(made.lines), METRIC, both=False)


@pytest.mark.parametrize(("food", "cooked_s"), [("", 60.0), ("x" * 81, 60.0), ("steak", 0.0), ("steak", float("inf"))])
def test_labels_refuse_nonsense(food: str, cooked_s: float) -> None:
    kept = keep(Authority.US, fridge_C=4.0, pasteurised=True)
    with pytest.raises(ValueError, match="a label needs"):
        label(food, cooked_C=62.0, cooked_s=cooked_s, cooked=COOKED, keeping=kept, treatment="")


def warmed(
    subject: Subject,
    authority: Authority,
    bath_C: float,
    *,
    start_C: float = 5.0,
    to_C: float | None = None,
    hot_holding: bool = False,
) -> Reheat:
    return reheat(
        BREAST,
        THERMAL,
        start_C,
        bath_C,
        subject,
        authority,
        cooked_C=62.0,
        pasteurised=True,
        to_C=to_C,
        hot_holding=hot_holding,
    )


def by_rule(answer: Reheat) -> dict[str, Finding]:
    return {f.rule: f for f in answer.findings}


def test_reheating_for_the_table_needs_no_more_than_warmth() -> None:
    found = by_rule(warmed(Subject("chicken"), Authority.US, 60.0))
    assert found["reheat-no-hotter"].verdict is Verdict.MET
    assert found["reheat-time-out"].verdict is Verdict.MET
    assert found["reheat-hot-holding"].verdict is Verdict.NOT_MET
    assert not found["reheat-hot-holding"].binding


def test_hot_holding_and_guests_at_risk_bind_the_hot_rule() -> None:
    held = by_rule(warmed(Subject("chicken"), Authority.US, 60.0, hot_holding=True))
    guests = by_rule(warmed(Subject("chicken", guests_at_risk=True), Authority.US, 60.0))
    for found in (held, guests):
        assert found["reheat-hot-holding"].binding
        assert found["reheat-hot-holding"].verdict is Verdict.NOT_MET
    hot = by_rule(warmed(Subject("chicken"), Authority.US, 82.0, to_C=75.0, hot_holding=True))
    assert hot["reheat-hot-holding"].verdict is Verdict.MET
    assert hot["reheat-no-hotter"].verdict is Verdict.NOT_MET


def test_frozen_takes_longer_than_chilled_and_says_what_is_not_undone() -> None:
    chilled = warmed(Subject("chicken"), Authority.US, 60.0)
    frozen = warmed(Subject("chicken"), Authority.US, 60.0, start_C=-18.0)
    first, second = (a.runs.reach(50.0).nominal_s for a in (chilled, frozen))
    assert first is not None
    assert second is not None
    assert second > 1.3 * first
    assert "From frozen" in frozen.statements[0]
    assert "does not undo" in frozen.statements[1]


def test_a_thick_piece_in_a_tepid_bath_is_out_too_long() -> None:
    thick = reheat(
        Body(Shape.SLAB, 0.12),
        THERMAL,
        5.0,
        52.0,
        Subject("beef"),
        Authority.US,
        cooked_C=54.0,
        pasteurised=False,
    )
    found = by_rule(thick)
    assert found["reheat-time-out"].verdict is Verdict.NOT_MET
    assert found["reheat-time-out"].binding
    assert found["reheat-pasteurised-before"].verdict is Verdict.NOT_MET


@pytest.mark.parametrize(
    ("start_C", "bath_C", "to_C", "words"),
    [
        (30.0, 60.0, None, "the start must lie"),
        (5.0, 100.0, None, "the bath must lie"),
        (5.0, 60.0, 65.0, "the core to serve at"),
        (float("nan"), 60.0, None, "the start must lie"),
    ],
)
def test_reheating_refuses_what_cannot_be(start_C: float, bath_C: float, to_C: float | None, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        warmed(Subject("chicken"), Authority.US, bath_C, start_C=start_C, to_C=to_C)


def test_rules_say_temperatures_as_marks() -> None:
    for rule in keeping_rules():
        for words in (rule.title, rule.note):
            assert not re.search(r"\d ?(degC|°C|C\b|h\b)", words), words
            assert "{" not in render(words, US)
