"""Log-linear lethality beside worked examples, spore treatments and pasteurisation times printed elsewhere."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq
from tests.published.measuring import Measure

from corebath.safety import hazards, lethality_rules, log10_reduction
from corebath.safety.lethality import d_values_s

Row = dict[str, str]


def rows(name: str) -> list[Row]:
    path = Path(__file__).parent.parent / "reference" / f"safety_{name}.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


EXAMPLES = {row["id"]: row for row in rows("worked_examples")}


def test_lethal_rate_at_110_C() -> None:
    # Source: dairy science notes (MULLAN), read: L = 0.077 at 110 C for Tref 121.11 C, z 10 K.
    per_s = log10_reduction([0, 1], [110, 110], D_ref_s=1.0, T_ref_C=121.11, z_K=10, floor_C=100, ceiling_C=130)[-1]
    assert per_s == pytest.approx(float(EXAMPLES["lethal_rate_110"]["expected"]), abs=0.0005)


def test_hold_for_6_5_log_in_beef() -> None:
    # Source: figure quoted with a beef D60 of 5.477 min, read: 35.6 min.
    reduced = log10_reduction(
        [0, 35.6 * 60], [60, 60], D_ref_s=5.477 * 60, T_ref_C=60, z_K=6.0, floor_C=55, ceiling_C=65
    )
    assert reduced[-1] == pytest.approx(6.5, abs=6.5 * 0.05 / 35.6)


def test_twelve_reductions_at_121_C() -> None:
    # Source: textbook standard, value from memory: 12 x 0.21 min = 2.52 min.
    assert 12 * d_values_s((121.1,), 0.21 * 60, 121.1, 10.0)[0] == pytest.approx(2.52 * 60, abs=0.005 * 60)


@pytest.mark.parametrize("row", [r for r in rows("spore_6d") if r["z_C_implied"]], ids=lambda r: r["temp_C"])
def test_spore_treatment_equivalents(row: Row) -> None:
    # Source: ACMSF / ECFF, from memory: 1675 min at 70 C and 129 min at 80 C for 10 min at 90 C, z 9 K.
    # The law gives 1668 and 129 min; the printed 1675 is 0.4 % off.
    minutes = d_values_s((float(row["temp_C"]),), 600.0, 90.0, float(row["z_C_implied"]))[0] / 60.0
    assert minutes == pytest.approx(float(row["time_min"]), rel=0.005)
    rule = lethality_rules()["cbot-nonproteolytic-6log"]
    assert float(rule.hold_s(float(row["temp_C"]))) == pytest.approx(60.0 * float(row["time_min"]))


def test_an_extension_posting_that_disagrees_about_spores_is_recorded() -> None:
    # Source: a 1999 extension posting, read: 85 C for 15 min and 87.8 C for 10 min rate as 0.6 and 0.7 D. The
    # 6-log rule above gives them 2.5 and 3.4 logs: another spore type (B, more resistant, lysozyme present)
    # and no z stated. Not an error of either; the rule's assumption on lysozyme is there for this.
    rule = lethality_rules()["cbot-nonproteolytic-6log"]
    posted = {float(r["temp_C"]): float(r["time_min"]) for r in rows("spore_6d") if not r["z_C_implied"]}
    for core_C, minutes in ((85.0, posted[85.0]), (87.8, posted[87.8])):
        logs = 6.0 * float(rule.achieved([0.0, minutes * 60.0], [core_C, core_C])[-1])
        assert 2.0 < logs < 4.0


@pytest.mark.parametrize(
    "row", rows("spore_treatments"), ids=lambda r: f"{r['target_C']}C-{r['hold_min']}min-{r['expt']}"
)
def test_equivalent_time_of_spore_treatments(row: Row, measured: Measure) -> None:
    # Source: Fernandez and Peck (1999), Table 1, read. The curves were not published, so two shapes bracket
    # them: straight ramps from 5 C (too little: 0.7 to 1.6 min for both ends) and, on the way up, a first-order
    # approach that ends 0.1 K short. Printed ends: 2.1 to 9.9 min. z 9 K. Curved less print: -2.8 to +5.0 min.
    target = float(row["target_C"])
    up, hold, down = (60.0 * float(row[name]) for name in ("come_up_min", "hold_min", "cooling_min"))
    printed_min = float(row["equivalent_min_at_target"])

    def equivalent_min(t: NDArray[np.float64], T: NDArray[np.float64]) -> float:
        F = log10_reduction(t, T, D_ref_s=60, T_ref_C=target, z_K=9.0, floor_C=target - 40, ceiling_C=target + 1)
        return float(F[-1])

    straight = equivalent_min(np.array([0, up, up + hold, up + hold + down]), np.array([5.0, target, target, 5.0]))
    rise = np.linspace(0.0, up, 400)
    curved_T = target - (target - 5.0) * np.exp(-rise * np.log((target - 5.0) / 0.1) / up)
    ends_T = [target, target, 5.0]
    curved = equivalent_min(np.append(rise, [up, up + hold, up + hold + down]), np.append(curved_T, ends_T))
    assert straight < printed_min
    assert abs(curved - printed_min) < 6.0
    what = "equivalent time of spore treatments (curves unpublished: a first-order rise assumed)"
    measured("safety", what, curved, printed_min, unit="min", source="Fernandez and Peck (1999), Table 1")
    assert printed_min < (up + hold + down) / 60.0


def slab_core_C(t: NDArray[np.float64], bath_C: float, half_m: float, alpha: float, biot: float) -> NDArray[np.float64]:
    """Textbook series for the mid-plane of a slab with a surface coefficient, start 5 C."""
    total = np.zeros_like(t)
    for n in range(30):
        root = brentq(lambda x: x * np.sin(x) - biot * np.cos(x), n * np.pi + 1e-9, (n + 0.5) * np.pi - 1e-9)
        weight = 2.0 * np.sin(root) / (root + np.sin(root) * np.cos(root))
        total += weight * np.exp(-(root**2) * alpha * t / half_m**2)
    core = bath_C + (5.0 - bath_C) * total
    core[0] = 5.0
    return core


# Source of diffusivities and of h = 95 W/(m2 K): inputs stated beside the printed times, from memory; the
# conductivity 0.48 W/(m K) is assumed. At 5 mm conduction takes 2 to 4 min, so lethality is what is tested.
ALPHA = {"meat": 1.11e-7, "poultry": 1.08e-7, "lean fish": 0.995e-7}


@pytest.mark.parametrize("row", rows("thin_pasteurisation"), ids=lambda r: f"{r['food']}-{r['bath_temp_C']}C")
def test_bath_time_of_thin_pieces(row: Row, measured: Measure) -> None:
    # Source: pasteurisation times of the review's author, seen in a reprint, read; printed in steps of 15 min
    # above 1 h and of 5 min or finer below. Ours less print: -15.4 to +1.7 min; -4.5 to +1.7 min below 1 h. Print
    # runs long at 55 to 59 C, as if rounded up to its step; 16 min is what an independent reckoning needed too.
    bath_C, printed_min = float(row["bath_temp_C"]), float(row["time_min"])
    t = np.linspace(0.0, 4 * 3600.0, 4001)
    core = slab_core_C(t, bath_C, 0.0025, ALPHA[row["food"]], 95.0 * 0.0025 / 0.48)
    met = [lethality_rules()[key].met_at_s(t, core) for key, h in hazards().items() if h.food == row["food"]]
    needed_min = max(np.inf if m is None else m for m in met) / 60.0
    assert abs(needed_min - printed_min) <= (16.0 if printed_min > 60 else 5.0)
    what = "bath times of pieces of 5 mm, where lethality alone is tested"
    measured(
        "safety", what, needed_min, printed_min, unit="min", source="pasteurisation tables of the 2012 review's author"
    )


def test_egg_d_values_give_fewer_minutes_than_the_printed_treatment() -> None:
    # Source: Schuman et al. (1997), D from memory: 7 reductions are 42 min at 57 C and 31.5 min at 58 C at the
    # centre. The rule keeps the 75 and 57.5 min, which count from immersion and hold a margin.
    egg = {float(r["temp_C"]): float(r["D_min"]) for r in rows("d_z") if r["organism"] == "S. Enteritidis"}
    for core_C, D_min in egg.items():
        assert float(lethality_rules()["egg-in-shell"].hold_s(core_C)) > 7 * D_min * 60.0


def test_other_d_values_for_meat_beside_the_review(measured: Measure) -> None:
    # Source: Juneja et al. (1997), E. coli O157 in ground beef, D from memory, 55 to 65 C. The review's D is
    # 0.92, 1.20, 0.57, 0.60 and 0.44 of theirs from 55 to 65 C: its z (4.87 K) is steeper than theirs (6 K).
    # D values depend on strain and method, so only the band is asserted.
    h = hazards()["dz-meat-stec"]
    ratio = [
        d_values_s((float(r["temp_C"]),), h.D_ref_s, h.T_ref_C, h.z_K)[0] / 60.0 / float(r["D_min"])
        for r in rows("d_z")
        if r["food"] == "ground beef" and r["organism"].startswith("E. coli")
    ]
    assert len(ratio) == 5
    source = "Juneja et al. (1997), ground beef (memory)"
    measured("safety", "D of E. coli O157, 55 to 65 °C, by the review's D and z", ratio, 1.0, ratio=True, source=source)
    assert min(ratio) > 0.4
    assert max(ratio) < 1.25
