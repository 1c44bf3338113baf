"""Timings of the ends of a cook: salt, sear, chill, keeping, reheating, the whole story, and their charts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from functools import partial

from benchmarks.heat import Row, best
from corebath.chill.tables import medium
from corebath.food.catalogue import catalogue
from corebath.heat.body import Body, Shape
from corebath.plan.alone.chill import ChillRequest, answer_chill
from corebath.plan.alone.keep import KeepRequest, answer_keep
from corebath.plan.alone.reheat import ReheatRequest, answer_reheat
from corebath.plan.alone.salt import SaltRequest, answer_salt
from corebath.plan.alone.sear import SearRequest, answer_sear
from corebath.plan.known import KnownPiece
from corebath.plan.story import Way
from corebath.plan.tell import tell
from corebath.safety.authority import Authority
from corebath.sear.hot import pan
from corebath.sear.run import run_sear
from corebath.sear.tables import settings
from corebath.show.chill_chart import chill_drawing
from corebath.show.drawing import Drawing
from corebath.show.salt_chart import salt_drawing
from corebath.show.sear_chart import sear_drawing
from corebath.show.story_chart import story_drawing
from corebath.show.svg import to_svg
from corebath.units import METRIC

HOUR, DAY = 3600.0, 86_400.0
IRON = pan("cast-iron", face_C=250.0, food_area_m2=0.02)
STEAK = KnownPiece(catalogue()["beef-ribeye"], Body(Shape.SLAB, 0.03), mass_kg=0.4)
BRICK = KnownPiece(catalogue()["beef-chuck"], Body(Shape.BRICK, 0.05, 0.08, 0.12))
CHUCK = KnownPiece(catalogue()["beef-chuck"], Body(Shape.SLAB, 0.06), mass_kg=1.4)
LOIN = KnownPiece(catalogue()["pork-loin"], Body(Shape.SLAB, 0.02), mass_kg=0.25)
THICK = Way(57.0, 30 * HOUR, 1.0, 36 * HOUR, IRON, 0.05, 4.0, 2 * DAY, 300.0)
THIN = Way(60.0, 1.25 * HOUR, 1.0, 12 * HOUR, IRON, 0.05, 4.0, 2 * DAY, 240.0)


def rows() -> Iterator[Row]:
    """Name, seconds and note of every timing."""
    salt = SaltRequest(STEAK, 1.0)
    yield "salt: slab, five waits, range of D", best(partial(answer_salt, salt)), ""
    yield "salt: brick", best(partial(answer_salt, SaltRequest(BRICK, 1.0))), ""
    sear = SearRequest(STEAK, 56.0, IRON, "cast iron pan", "patted")
    seared = answer_sear(sear)
    once = partial(run_sear, seared.setup, IRON.h_W_m2K, settings()["crust"]["nominal_k_W_mK"])
    yield "sear: one run", best(once), "both sides and five minutes of rest"
    yield "sear: range, cause and five effects", best(partial(answer_sear, sear), 3), ""
    ice = medium("ice-water-still")
    chill = ChillRequest(STEAK, 57.0, ice, 4.0)
    yield "chill: slab, quick to cautious, with rules", best(partial(answer_chill, chill)), ""
    yield "chill: brick", best(partial(answer_chill, ChillRequest(BRICK, 57.0, ice)), 3), ""
    keep = KeepRequest(STEAK.food, Authority.US, date(2027, 1, 3), 4.0, pasteurised=True, piece=STEAK)
    yield "keep: with freezing, three pieces", best(partial(answer_keep, keep), 3), "enthalpy solver"
    reheat = ReheatRequest(STEAK, 4.0, 55.0, 57.0, pasteurised=True)
    yield "reheat: slab from the fridge", best(partial(answer_reheat, reheat)), ""
    frozen = ReheatRequest(STEAK, -18.0, 55.0, 57.0, pasteurised=True)
    yield "reheat: slab from frozen", best(partial(answer_reheat, frozen), 3), "enthalpy solver until thawed"
    yield "story: thick slab, salt to plate", best(partial(tell, CHUCK, THICK), 3), "nine histories and three sears"
    yield "story: brick, salt to plate", best(partial(tell, BRICK, THICK), 3), ""
    story = tell(CHUCK, THICK)
    for name, drawing in (
        ("salt", partial(salt_drawing, answer_salt(salt), METRIC, wide=True)),
        ("sear", partial(sear_drawing, seared, METRIC, wide=True)),
        ("chill", partial(chill_drawing, answer_chill(chill), METRIC, wide=True)),
        ("story", partial(story_drawing, story, METRIC, wide=True)),
    ):
        yield f"chart: {name}, drawn and written as SVG", best(partial(_written, drawing), 3), ""


def _written(draw: Callable[[], Drawing]) -> str:
    return to_svg(draw(), standalone=True)
