"""One thick and one thin piece from the salt to the reheated plate: every room on one line of time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
import pytest

from corebath.chill.cool import chill
from corebath.chill.keep import Keeping, keep
from corebath.chill.reheat import Reheat, reheat
from corebath.chill.runs import Runs
from corebath.food.catalogue import Food, catalogue
from corebath.food.freezing import freezing_table
from corebath.food.properties import conductivity_W_mK, density_kg_m3, specific_heat_J_kgK
from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.engine import Thermal
from corebath.heat.grid import Array
from corebath.heat.history import History
from corebath.heat.material import Material
from corebath.heat.stage import Stage
from corebath.safety.authority import Authority
from corebath.safety.finding import Finding
from corebath.safety.rules import judge
from corebath.safety.subject import Subject
from corebath.salt.brine import Salting, dry_brine
from corebath.salt.dose import dose_findings
from corebath.sear.hot import pan
from corebath.sear.run import Setup
from corebath.sear.sear import Sear, sear

HOUR = 3600.0


@dataclass(frozen=True)
class Story:
    """All answers for one piece, and its core from the salt to the plate."""

    salting: Salting
    chilled: Runs
    kept: Keeping
    reheated: Reheat
    seared: Sear
    time_s: Array
    core_C: Array
    findings: tuple[Finding, ...]


def tell(food: Food, thickness_m: float, bath_C: float, bath_h: float, salt_h: float) -> Story:
    """Salt, bath, ice water, two days of fridge, reheat, dry, sear, rest."""
    comp = food.composition
    warm = Material(conductivity_W_mK(comp, 35.0), density_kg_m3(comp, 35.0), specific_heat_J_kgK(comp, 35.0))
    thermal = Thermal(warm, freezing_table(comp, food.initial_freezing_C))
    body, subject = Body(Shape.SLAB, thickness_m), Subject(food.kind, fat=comp.fat, seared=True)
    salting = dry_brine(body, food.kind, 1.0, meat_water=comp.water, hours=[salt_h])
    chilled = chill(body, thermal, bath_C, "ice-water-still", subject, Authority.US)
    cautious_s = chilled.runs.reach(3.0).cautious_s
    assert cautious_s is not None
    kept = keep(Authority.US, fridge_C=4.0, pasteurised=True)
    again = reheat(body, thermal, 4.0, bath_C - 2, subject, Authority.US, cooked_C=bath_C, pasteurised=True)
    warm_s = again.runs.reach(50.0).cautious_s
    assert warm_s is not None
    stages = [
        Stage.constant("fridge, salted", salt_h * HOUR, 4.0, 8.0),
        Stage.constant("bath", bath_h * HOUR, bath_C, 150.0),
        Stage.constant("ice water", cautious_s, 1.0, 100.0),
        Stage.constant("fridge", 48 * HOUR, 4.0, 8.0),
        Stage.constant("reheating bath", warm_s, bath_C - 2, 150.0),
        Stage.constant("dried", 300.0, 20.0, 60.0),
    ]
    cooked = cook(body, warm, 4.0, stages)
    hot = pan("cast-iron", face_C=250.0, food_area_m2=0.02)
    seared = sear(Setup(thickness_m, warm, comp.water, cooked.field_C, bath_C, hot, 0.05))
    last: History = seared.nominal.history
    return Story(
        salting=salting,
        chilled=chilled.runs,
        kept=kept,
        reheated=again,
        seared=seared,
        time_s=np.concatenate([cooked.history.time_s, cooked.history.duration_s + last.time_s]),
        core_C=np.concatenate([cooked.history.core_C, last.core_C]),
        findings=(
            *judge(cooked.history, subject, Authority.US),
            *dose_findings(1.0, cook_s=bath_h * HOUR),
            *chilled.findings,
            *kept.findings,
            *again.findings,
            *seared.findings,
        ),
    )


@pytest.mark.parametrize(
    ("key", "thickness_m", "bath_C", "bath_h", "salt_h"),
    [("beef-chuck", 0.06, 57.0, 30.0, 36.0), ("pork-loin", 0.02, 60.0, 1.25, 12.0)],
    ids=["thick", "thin"],
)
def test_from_salt_to_reheated_plate(key: str, thickness_m: float, bath_C: float, bath_h: float, salt_h: float) -> None:
    story = tell(catalogue()[key], thickness_m, bath_C, bath_h, salt_h)
    assert np.all(np.diff(story.time_s) >= 0)
    assert story.core_C[0] == pytest.approx(4.0)
    assert float(story.core_C.max()) > bath_C - 1
    # One line of time: the sear takes up the core where the drying left it.
    jumps = np.abs(np.diff(story.core_C))
    assert float(jumps.max()) < 2.0
    assert story.kept.use_by(date(2027, 1, 3)) == date(2027, 1, 9)
    assert story.seared.nominal.crust_s[0] is not None
    assert all(f.source and f.why for f in story.findings)
    assert len({f.rule for f in story.findings}) >= 15
    assert story.salting.known
