"""The whole story: one clock, every rule once and at the moment that decides it, and what makes a piece keep."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.ask.ends import EndQuestion, understand_story
from corebath.chill.tables import settings as chill_settings
from corebath.food.catalogue import catalogue
from corebath.heat.body import Body, Shape
from corebath.log.gear import Kitchen
from corebath.plan.known import KnownPiece
from corebath.plan.request import BadRequest
from corebath.plan.story import COLD_C, Story, Way
from corebath.plan.tell import pasteurised_by, tell
from corebath.safety.authority import Authority
from corebath.safety.finding import Verdict
from corebath.safety.rules import rules_for
from corebath.sear.hot import pan

HOUR, DAY = 3600.0, 86_400.0
IRON = pan("cast-iron", face_C=250.0, food_area_m2=0.02)
CHUCK = KnownPiece(catalogue()["beef-chuck"], Body(Shape.SLAB, 0.06))
LOIN = KnownPiece(catalogue()["pork-loin"], Body(Shape.SLAB, 0.02))
LONG = Way(57.0, 30 * HOUR, 1.0, 36 * HOUR, IRON, 0.05, 4.0, 2 * DAY, 300.0)
SHORT = Way(60.0, 1.25 * HOUR, 1.0, 12 * HOUR, IRON, 0.05, 4.0, 2 * DAY, 240.0)

STORIES = pytest.mark.parametrize("story", [tell(CHUCK, LONG), tell(LOIN, SHORT)], ids=["thick", "thin"])


def found(story: Story, rule: str) -> Verdict:
    return next(f.verdict for f in story.findings if f.rule == rule)


@STORIES
def test_it_is_one_line_of_time(story: Story) -> None:
    assert np.all(np.diff(story.nominal.time_s) >= 0)
    assert story.nominal.duration_s == pytest.approx(story.legs[-1].end_s)
    assert story.nominal.core_C[0] == pytest.approx(4.0)
    # The sear takes up the core where the drying left it.
    assert float(np.abs(np.diff(story.nominal.core_C)).max()) < 2.0
    for earlier, later in zip(story.legs[:-1], story.legs[1:], strict=True):
        assert earlier.end_s == later.start_s


@STORIES
def test_the_cautious_piece_is_behind_at_both_ends(story: Story) -> None:
    bath, cold = story.leg("bath"), story.leg("chill")
    for leg, sign in ((bath, 1.0), (cold, -1.0)):
        for share in (0.1, 0.3, 0.6):
            at_s = leg.start_s + share * (leg.end_s - leg.start_s)
            slow = story.cautious.core_at(at_s - bath.start_s)
            assert sign * (story.nominal.core_at(at_s) - slow) >= -0.05
    assert story.cautious.core_at(cold.end_s - bath.start_s) == pytest.approx(COLD_C, abs=0.5)
    assert story.cautious.core_C[-1] == pytest.approx(story.reheat.to_C, abs=0.5)


@STORIES
def test_every_rule_of_every_room_speaks_once(story: Story) -> None:
    rules = [f.rule for f in story.findings]
    assert len(rules) == len(set(rules))
    wanted = {rule.key for rule in rules_for(story.piece.subject, story.piece.authority)}
    assert story.seared is not None
    rooms = (story.chill, story.keeping, story.reheat, story.seared)
    wanted |= {finding.rule for room in rooms for finding in room.findings}
    wanted |= {"salt-salty", "salt-cured-texture"}
    assert set(rules) == wanted
    assert all(f.source and f.why for f in story.findings)


@STORIES
def test_every_moment_lies_in_its_stretch(story: Story) -> None:
    for told in story.told:
        leg = story.leg(told.leg)
        assert leg.start_s - 1e-6 <= told.at_s <= leg.end_s + 1e-6, told


@STORIES
def test_a_treatment_is_told_when_the_core_has_had_it(story: Story) -> None:
    told = next(t for t in story.told if t.finding.rule == "fsis-meat-6.5log")
    assert told.finding.met_at_s is not None
    assert told.at_s == pytest.approx(story.leg("bath").start_s + told.finding.met_at_s)
    assert story.pasteurised_by is not None
    assert story.pasteurised_by.key == "fsis-meat-6.5log"


def test_freedom_from_worms_alone_does_not_make_pork_keep() -> None:
    """Trichinella binds for intact pork in the US profile; it is dead some time before Salmonella is."""
    short = tell(LOIN, replace(SHORT, bath_s=50 * 60.0))
    assert found(short, "cfr-trichinella") is Verdict.MET
    assert found(short, "fsis-meat-6.5log") is Verdict.NOT_MET
    assert short.pasteurised_by is None
    assert short.keeping.days == 1
    assert pasteurised_by(LOIN.subject, LOIN.authority, short.cautious) is None


def test_kept_past_its_days_is_a_broken_rule() -> None:
    """Seven days by FDA Food Code 3-502.12(D), the day of cooking counted."""
    assert found(tell(LOIN, replace(SHORT, keep_s=6 * DAY)), "keep-food-code-7d") is Verdict.MET
    assert found(tell(LOIN, replace(SHORT, keep_s=6 * DAY + HOUR)), "keep-food-code-7d") is Verdict.NOT_MET


def test_no_salt_and_no_sear_leave_their_stretches_out() -> None:
    plain = tell(replace(LOIN, seared=False), replace(SHORT, salt_percent=None, hot=None))
    assert [leg.key for leg in plain.legs] == ["bath", "chill", "kept", "reheat"]
    assert plain.seared is None
    assert not any(f.rule.startswith(("salt-", "sear-")) for f in plain.findings)
    with pytest.raises(KeyError, match="no stretch 'sear'"):
        plain.leg("sear")


def test_a_brick_is_seared_along_its_thinnest_side() -> None:
    brick = replace(CHUCK, body=Body(Shape.BRICK, 0.04, 0.06, 0.1))
    story = tell(brick, replace(LONG, bath_s=6 * HOUR))
    assert story.seared is not None
    assert float(story.seared.nominal.depth_m[-1]) == pytest.approx(0.04, rel=0.01)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"bath_s": 1.0}, "the time in the bath"),
        ({"keep_s": 60.0}, "the time it is kept"),
        ({"salt_s": 1.0}, "the wait after salting"),
        ({"dry_s": 7200.0}, "the drying"),
    ],
)
def test_times_out_of_range_are_refused(change: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        replace(SHORT, **change)  # type: ignore[arg-type]


def test_what_cannot_be_done_is_refused() -> None:
    with pytest.raises(ValueError, match=r"the kitchen counter never brings this core to \{5\|C\}"):
        tell(LOIN, replace(SHORT, chill_in="counter"))
    with pytest.raises(ValueError, match="a round piece is not known in a sear"):
        tell(replace(LOIN, body=Body(Shape.CYLINDER, 0.05)), SHORT)
    with pytest.raises(BadRequest, match="pieces"):
        replace(LOIN, pieces=0)
    with pytest.raises(BadRequest, match="round pieces"):
        replace(LOIN, body=Body(Shape.CYLINDER, 0.05), layers=2)
    with pytest.raises(BadRequest, match="must weigh"):
        replace(LOIN, mass_kg=90.0)


@settings(max_examples=10, deadline=None)
@given(
    st.floats(0.012, 0.06), st.floats(55.0, 68.0), st.floats(3.0, 24.0), st.sampled_from(list(Authority)), st.booleans()
)
def test_any_story_tells_everything_in_order(
    thickness_m: float, set_point_C: float, bath_h: float, authority: Authority, risk: bool
) -> None:
    piece = replace(LOIN, body=Body(Shape.SLAB, thickness_m), authority=authority, guests_at_risk=risk)
    story = tell(piece, replace(SHORT, set_point_C=set_point_C, bath_s=bath_h * HOUR))
    assert [t.at_s for t in story.told] == sorted(t.at_s for t in story.told)
    assert {rule.key for rule in rules_for(piece.subject, authority)} <= {f.rule for f in story.findings}
    assert story.reheat.to_C <= set_point_C
    assert chill_settings()["serving"]["core_C"] >= story.reheat.to_C


def test_a_thermometer_that_reads_too_high_makes_both_baths_cooler() -> None:
    true, off = tell(LOIN, SHORT), tell(LOIN, replace(SHORT, set_point_C=62.0, offset_K=2.0))
    assert np.allclose(off.nominal.core_C, true.nominal.core_C)
    assert off.pasteurised_by == true.pasteurised_by
    assert [leg.end_s for leg in off.legs] == [leg.end_s for leg in true.legs]
    assert off.leg("bath").statements[0] == true.leg("bath").statements[0]
    assert "set to {62|C}; by the offset of its thermometer it is in truth at {60|C}" in off.leg("bath").statements[1]


def test_a_typed_story_counts_with_the_thermometers_offset() -> None:
    question = EndQuestion(food="pork loin", shape="slab", thick="20 mm", want="60 C", bath="75 min")
    way = understand_story(question, Kitchen(zone=ZoneInfo("Europe/Paris"), probe_offset_K=1.5))[1]
    assert way.bath_C == pytest.approx(58.5)
