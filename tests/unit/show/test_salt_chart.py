"""The chart of salt: curves where the figures say, every wait named, refused where nothing is known."""

from __future__ import annotations

import pytest
from tests.unit.show.show_ends import KITCHEN, SALT, UNKNOWN, check_drawing, salt_of, words_of

from corebath.ask.ends import understand_salt
from corebath.plan.alone.salt import answer_salt
from corebath.show.drawing import Drawing, Line, Pill
from corebath.show.salt_chart import salt_drawing
from corebath.units import METRIC, US, Preference, show_duration

EVERY = pytest.mark.parametrize("name", SALT)
UNITS = pytest.mark.parametrize("preference", [METRIC, US], ids=["metric", "US"])


def drawn(name: str, preference: Preference = METRIC, *, wide: bool = True) -> Drawing:
    return salt_drawing(salt_of(name), preference, wide=wide)


@EVERY
@UNITS
def test_it_is_sound_at_every_size(name: str, preference: Preference) -> None:
    check_drawing(lambda wide: drawn(name, preference, wide=wide))


@EVERY
def test_every_wait_has_a_curve_and_its_words(name: str) -> None:
    answer, drawing = salt_of(name), drawn(name)
    curves = [m for m in drawing.marks if isinstance(m, Line) and m.kind == "salt"]
    assert len(curves) == len(answer.salting.waits)
    for wait in answer.salting.waits:
        assert f"{show_duration(wait.time_s)}: half of the final salt" in words_of(drawing)
    assert "even, once levelled" in words_of(drawing)


@EVERY
def test_rings_stand_where_half_of_the_even_value_is(name: str) -> None:
    answer, drawing = salt_of(name), drawn(name)
    frame = next(m for m in drawing.marks if isinstance(m, Line) and m.kind == "frame")
    left, right = min(x for x, _ in frame.points), max(x for x, _ in frame.points)
    assert answer.fields is not None
    deepest = float(answer.fields[0].depth_m[-1])
    rings = [m for m in drawing.marks if isinstance(m, Pill)]
    short = [w for w, s in zip(answer.salting.waits, answer.fields[0].share, strict=True) if s[-1] < 0.5]
    assert len(rings) == len(short)
    for ring, wait in zip(rings, short, strict=True):
        assert (ring.x - left) / (right - left) * deepest == pytest.approx(wait.depth_m, abs=1e-6)


def test_a_brine_is_counted_of_meat_and_water() -> None:
    assert "% of meat and water" in words_of(drawn("brine"))
    assert "% of the meat" in words_of(drawn("steak"))


def test_what_is_not_known_is_not_drawn() -> None:
    answer = answer_salt(understand_salt(UNKNOWN, KITCHEN))
    with pytest.raises(ValueError, match="how fast salt moves in chicken is not known"):
        salt_drawing(answer, METRIC, wide=True)
