"""Which rules speak for whom, and which of them bind."""

from __future__ import annotations

import itertools
import re

import numpy as np
import pytest

from corebath.heat.history import History
from corebath.safety import (
    Authority,
    Finding,
    Subject,
    Verdict,
    binding_lethality,
    cautions_for,
    judge,
    profile,
    reported_lethality,
    rules_for,
)
from corebath.safety.checks import CHECKS
from corebath.safety.conditions import CONDITIONS
from corebath.safety.subject import HANDLINGS, KINDS
from corebath.safety.tables import lethality_rules, read_csv, read_toml, sources
from corebath.units import METRIC, render

SUBJECTS = [
    Subject(kind, handling, fat=fat, guests_at_risk=guests, seared=yes, parasites_frozen=yes, garlic_or_oil=yes)
    for kind, handling in itertools.product(KINDS, HANDLINGS)
    for fat, guests, yes in ((0.005, False, False), (0.08, True, True), (0.3, False, True))
]


def held(core_C: float, hours: float, surface_C: float | None = None) -> History:
    """A piece that warms through in a quarter of an hour and is held."""
    t = np.linspace(0.0, 3600.0 * hours, 401)
    core = core_C - (core_C - 4.0) * np.exp(-t / 150.0)
    surface = np.full_like(t, core_C if surface_C is None else surface_C)
    return History(t, core, core, surface, surface, np.zeros(t.size, np.intp), ("bath",))


def binding(subject: Subject, authority: Authority) -> set[str]:
    return {rule.key for rule in binding_lethality(subject, authority)}


def reported(subject: Subject, authority: Authority) -> set[str]:
    return {rule.key for rule in reported_lethality(subject, authority)}


def named(findings: tuple[Finding, ...], key: str) -> Finding:
    return next(f for f in findings if f.rule == key)


@pytest.mark.parametrize("authority", list(Authority))
@pytest.mark.parametrize("subject", SUBJECTS, ids=str)
def test_every_subject_gets_each_rule_once_and_text_that_renders(subject: Subject, authority: Authority) -> None:
    rules = rules_for(subject, authority)
    findings = judge(held(60.0, 2.0), subject, authority)
    keys = [rule.key for rule in rules]
    assert len(keys) == len(set(keys))
    assert [f.rule for f in findings] == keys
    for f in findings:
        assert f.source
        assert f.why.endswith(".")
        for text in (f.title, f.why, *f.assumptions):
            # every temperature and time is a mark, and nothing is called safe
            assert not re.search(r"\d\s*(°?[CF]|min|h|s)\b", re.sub(r"\{[^}]*\}", "", text)), text
            assert "{" not in render(text, METRIC)
            assert not re.search(r"\bsafe\b", text)
    for caution in cautions_for(subject, authority):
        assert "{" not in render(caution.text, METRIC)
        assert set(caution.where) <= {"always", "cook", "keep", "fault"}
        assert caution.source


@pytest.mark.parametrize(
    ("authority", "rule"),
    [(Authority.US, "fish-worms-heat-us"), (Authority.UK, "eu-fish-worms"), (Authority.AU, "eu-fish-worms")],
)
def test_octopus_and_squid_are_held_to_the_rules_on_worms(authority: Authority, rule: str) -> None:
    # Sources: FDA Food Code 3-402.11 exempts molluscan shellfish (bivalves) and scallop muscle, read in a state's
    # adoption; Regulation (EC) 853/2004, Annex III, Section VIII, Chapter III names cephalopods (from memory).
    fresh = Subject("shellfish", fat=0.01, parasites=True)
    frozen = Subject("shellfish", fat=0.01, parasites=True, parasites_frozen=True)
    shrimp = Subject("shellfish", fat=0.01, parasites_frozen=True)
    assert rule in binding(fresh, authority)
    assert named(judge(held(50.0, 1.0), fresh, authority), rule).verdict is Verdict.NOT_MET
    assert rule not in binding(frozen, authority)
    assert named(judge(held(50.0, 1.0), frozen, authority), "fish-worms-frozen").verdict is Verdict.MET
    assert not any("worms" in f.rule for f in judge(held(50.0, 1.0), shrimp, authority))
    assert "fish-freezing" in {c.key for c in cautions_for(fresh, authority)}
    assert "fish-freezing" not in {c.key for c in cautions_for(shrimp, authority)}


def test_cautions_say_what_to_do_and_not_only_what_is_wrong() -> None:
    said = {c.key: c.text for c in cautions_for(Subject("beef", garlic_or_oil=True), Authority.US)}
    assert "new bag" in said["leak"]
    assert "{54.4|C}" in said["leak"]
    assert "after the bath" in said["garlic-oil"]
    assert "powder" in said["garlic-oil"]
    assert "nothing is kept" in said["unpasteurised-keep"]


@pytest.mark.parametrize("authority", list(Authority))
def test_every_animal_food_but_intact_red_meat_has_a_core_rule_when_guests_are_at_risk(authority: Authority) -> None:
    for kind in KINDS:
        if kind != "vegetable":
            assert binding(Subject(kind, fat=0.03, guests_at_risk=True), authority), kind


def test_intact_red_meat_is_a_matter_of_its_surface() -> None:
    steak = Subject("beef", fat=0.1, seared=True)
    assert binding(steak, Authority.US) == set()
    assert {"fsis-meat-6.5log", "food-code-63c-15s", "dz-meat-stec"} <= reported(steak, Authority.US)
    findings = judge(held(54.9, 1.5), steak, Authority.US)
    seared = named(findings, "surface-seared")
    assert seared.verdict is Verdict.MET
    assert seared.binding
    assert seared.assumptions


def test_an_unseared_steak_is_judged_by_its_surface_in_the_bath() -> None:
    steak = Subject("beef", fat=0.1)
    cool = named(judge(held(54.0, 3.0), steak, Authority.US), "surface-bath")
    warm = named(judge(held(58.0, 3.0), steak, Authority.US), "surface-bath")
    assert (cool.verdict, cool.binding) == (Verdict.NOT_MET, True)
    assert (warm.verdict, warm.binding) == (Verdict.MET, True)


@pytest.mark.parametrize("handling", ["tenderised", "rolled", "minced"])
def test_opened_red_meat_needs_the_core_and_says_why(handling: str) -> None:
    piece = Subject("beef", handling, fat=0.1, seared=True)
    assert binding(piece, Authority.US) == {"fsis-meat-6.5log"}
    assert binding(piece, Authority.AU) == {"fsis-meat-6.5log"}
    assert binding(piece, Authority.UK) == {"uk-70c-2min"}
    finding = named(judge(held(54.0, 3.0), piece, Authority.US), "fsis-meat-6.5log")
    assert finding.verdict is Verdict.NOT_MET
    assert handling in finding.why


def test_guests_at_risk_need_the_core_and_the_reason_is_told() -> None:
    piece = Subject("lamb", fat=0.1, seared=True, guests_at_risk=True)
    finding = named(judge(held(60.0, 3.0), piece, Authority.US), "fsis-meat-6.5log")
    assert (finding.verdict, finding.binding) == (Verdict.MET, True)
    assert "guest" in finding.why
    assert finding.met_at_s is not None
    assert finding.achieved is not None
    assert finding.achieved >= 1.0
    assert any(c.key == "guests" for c in cautions_for(piece, Authority.US))


@pytest.mark.parametrize(
    ("fat", "column"), [(0.0, "1"), (0.01, "1"), (0.011, "5"), (0.05, "5"), (0.051, "12"), (0.12, "12"), (0.13, "12")]
)
def test_poultry_takes_the_next_higher_fat_column(fat: float, column: str) -> None:
    for kind in ("chicken", "turkey", "duck"):
        keys = binding(Subject(kind, fat=fat), Authority.US)
        assert f"fsis-chicken-7log-{column}pct" in keys
        assert ("dz-poultry-listeria" in keys) is (fat > 0.12)
    duck = named(judge(held(62.0, 3.0), Subject("duck", fat=fat), Authority.US), f"fsis-chicken-7log-{column}pct")
    assert any("duck" in a for a in duck.assumptions)


def test_fat_past_the_chicken_table_is_not_known_by_the_table() -> None:
    finding = named(judge(held(62.0, 5.0), Subject("duck", fat=0.2), Authority.US), "fsis-chicken-past-12pct")
    assert (finding.verdict, finding.binding) == (Verdict.NOT_KNOWN, False)


def test_stuffed_food_and_hunted_game_need_74_degrees() -> None:
    assert "food-code-74c" in binding(Subject("chicken", "stuffed", fat=0.02), Authority.US)
    assert {"food-code-74c", "cfr-trichinella"} <= binding(Subject("wild-game", fat=0.02), Authority.US)
    assert "food-code-74c" in reported(Subject("chicken", fat=0.02), Authority.US)


def test_pork_has_the_trichinella_table() -> None:
    pork = Subject("pork", fat=0.08, seared=True)
    assert binding(pork, Authority.US) == {"cfr-trichinella"}
    assert binding(pork, Authority.UK) == {"uk-70c-2min"}
    assert named(judge(held(56.0, 2.0), pork, Authority.US), "cfr-trichinella").verdict is Verdict.MET


def test_fish_was_frozen_or_is_heated_against_worms() -> None:
    raw = Subject("fish", fat=0.13)
    frozen = Subject("fish", fat=0.13, parasites_frozen=True)
    assert binding(raw, Authority.US) == {"fish-worms-heat-us"}
    assert binding(raw, Authority.UK) == {"eu-fish-worms"}
    assert binding(frozen, Authority.US) == set()
    assumed = named(judge(held(50.0, 0.7), frozen, Authority.US), "fish-worms-frozen")
    assert (assumed.verdict, assumed.binding) == (Verdict.MET, True)
    assert binding(Subject("fish", fat=0.13, parasites_frozen=True, guests_at_risk=True), Authority.US) == {
        "dz-fatty-fish-listeria"
    }


def test_garlic_is_told_and_never_lost() -> None:
    finding = named(judge(held(57.0, 5.0), Subject("beef", garlic_or_oil=True), Authority.UK), "garlic-or-oil-spores")
    assert (finding.verdict, finding.binding) == (Verdict.NOT_MET, False)
    assert all(f.rule != "garlic-or-oil-spores" for f in judge(held(57.0, 5.0), Subject("beef"), Authority.UK))


def test_stand_ins_are_told() -> None:
    finding = named(judge(held(62.0, 2.0), Subject("chicken", fat=0.02), Authority.AU), "fsis-chicken-7log-5pct")
    assert any("Australian" in a for a in finding.assumptions)


@pytest.mark.parametrize("authority", list(Authority))
def test_profiles(authority: Authority) -> None:
    about = profile(authority)
    assert about.authority is authority
    assert about.name
    assert about.bodies
    assert about.note


def test_the_data_files_name_only_what_exists() -> None:
    for name in ("rules_heat.toml", "rules_time.toml"):
        for rule in read_toml(name)["rule"]:
            assert rule["check"] in CHECKS
            assert rule["binding"] in CONDITIONS
            assert set(rule.get("when", ())) <= set(CONDITIONS)
            assert set(rule.get("kinds", ())) <= set(KINDS)
            assert set(rule["profiles"]) <= set(Authority)
            assert set(rule.get("stand_in", ())) <= {*KINDS, *Authority}
            if rule["check"] in ("core", "surface"):
                assert rule.get("table", rule["key"]) in lethality_rules()
            else:
                assert rule["source"]
    for name in ("hold_times.csv", "hazards.csv", "growth.csv", "growth_limits.csv", "cooling.csv"):
        for row in read_csv(name):
            assert row["source"] in sources(), (name, row)
            assert row["how"] in ("read", "memory")
    used = {row["table"] for row in read_csv("hold_times.csv")}
    assert used == set(read_toml("tables.toml"))
    spoken = {rule.get("table", rule["key"]) for rule in read_toml("rules_heat.toml")["rule"]}
    spoken |= {rule.get("table", rule["key"]) for rule in read_toml("rules_time.toml")["rule"]}
    assert set(lethality_rules()) <= spoken


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"kind": "tofu"}, "kind 'tofu' is not known"),
        ({"kind": "beef", "handling": "mangled"}, "handling 'mangled' is not known"),
        ({"kind": "beef", "fat": 1.2}, "fat must be"),
        ({"kind": "beef", "fat": float("nan")}, "fat must be"),
    ],
)
def test_an_unknown_subject_is_refused(given: dict[str, str | float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        Subject(**given)  # type: ignore[arg-type]


def test_a_core_just_short_of_the_lowest_row_is_said_to_be_so() -> None:
    piece = Subject("beef", "minced", fat=0.1)
    finding = named(judge(held(54.43, 5.0), piece, Authority.US), "fsis-meat-6.5log")
    assert finding.verdict is Verdict.NOT_MET
    assert "just short of" in finding.why
