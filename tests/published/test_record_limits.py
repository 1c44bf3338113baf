"""Rows of the records against published limits: just enough is met, a little less is not."""

from __future__ import annotations

import csv
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from corebath.log.record import Measured, Point, Record, Step
from corebath.log.record_judge import RowVerdict, judge_record
from corebath.safety.authority import Authority
from corebath.safety.finding import Verdict
from corebath.safety.subject import Subject

REFERENCE = Path(__file__).parents[1] / "reference"
ZONE = ZoneInfo("Europe/London")
NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
MET, MISSED = Verdict.MET, Verdict.NOT_MET


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


LIMITS = {(row["step"], row["authority"]): float(row["value"]) for row in rows("record_limits.csv")}


def judged(
    step: Step, authority: str, *read: tuple[float, float], subject: Subject | None = None, **other: object
) -> RowVerdict:
    """The verdict on readings at seconds from noon, the last of them the end of the step."""
    measured = tuple(Measured(NOON + timedelta(seconds=s), c) for s, c in read)
    plain: dict[str, object] = {"began": NOON, "ended": measured[-1].at}
    record = Record(
        step,
        "batch",
        measured[-1].at,
        "JM",
        Authority(authority),
        measured,
        subject=subject,
        **(plain | other),  # type: ignore[arg-type]
    )
    return judge_record(record, ZONE)


def verdict(found: RowVerdict, rule: str) -> Verdict:
    return next(f.verdict for f in found.findings if f.rule == rule)


ROASTS = [r for r in rows("safety_food_code.csv") if r["section"] == "3-401.11(B)" and float(r["time_s"]) > 0]


@pytest.mark.parametrize("row", ROASTS, ids=lambda r: f"{r['temp_F']}F")
def test_a_roast_held_for_the_printed_time_at_the_printed_temperature_meets_the_code(row: dict[str, str]) -> None:
    """FDA Food Code 3-401.11(B); the package's own table is the FSIS one, whose printed numbers are the same.

    A probe is taken to have stood at its reading for 15 s, which alone meets rows of 14 s.
    """
    core_C, hold_s = (float(row["temp_F"]) - 32) / 1.8, float(row["time_s"])
    roast = Subject("beef", handling="rolled", fat=0.1)
    rise = (3600.0, core_C)
    enough = judged(Step.COOK, "US", rise, (3600 + hold_s, core_C), subject=roast)
    assert verdict(enough, "fsis-meat-6.5log") is MET
    if hold_s > 15:
        short = judged(Step.COOK, "US", rise, (3600 + hold_s - 1, core_C), subject=roast)
        assert verdict(short, "fsis-meat-6.5log") is not MET


def test_what_the_code_asks_at_once_one_reading_shows() -> None:
    """FDA Food Code 3-401.11(A)(3): poultry stuffed, 165 F (74 C) at once."""
    stuffed = Subject("chicken", handling="stuffed", fat=0.05)
    (row,) = (r for r in rows("safety_food_code.csv") if r["section"] == "3-401.11(A)(3)")
    at_C = float(row["temp_C"])
    assert verdict(judged(Step.COOK, "US", (3600, at_C), subject=stuffed), "food-code-74c") is MET
    assert verdict(judged(Step.COOK, "US", (3600, at_C - 0.5), subject=stuffed), "food-code-74c") is MISSED


def test_seventy_degrees_for_two_minutes_in_britain() -> None:
    chicken, at_C = Subject("chicken", fat=0.05), LIMITS["hot", "UK"]
    met = judged(Step.COOK, "UK", (3600, at_C), (3720, at_C), subject=chicken)
    assert verdict(met, "uk-70c-2min") is MET
    assert verdict(judged(Step.COOK, "UK", (3600, at_C), (3700, at_C), subject=chicken), "uk-70c-2min") is not MET


def test_reheating_for_hot_holding_reaches_its_temperature_in_two_hours() -> None:
    """FDA Food Code 3-403.11: 165 F (74 C) for 15 s, reached within 2 h."""
    row = next(r for r in rows("safety_food_code.csv") if r["section"] == "3-403.11" and r["time_s"])
    at_C = float(row["temp_C"])
    carrots = Subject("vegetable")
    for seconds, core_C, expected in ((7200, at_C, MET), (7260, at_C, Verdict.NOT_KNOWN), (3600, at_C - 0.1, MISSED)):
        found = judged(Step.REHEAT, "US", (seconds, core_C), subject=carrots, held_hot=True)
        assert verdict(found, "reheat-hot-holding") is expected
    late = judged(Step.REHEAT, "US", (7201, at_C - 5), (7500, at_C), subject=carrots, held_hot=True)
    assert verdict(late, "reheat-hot-holding") is MISSED


@pytest.mark.parametrize(("authority", "rule", "from_C", "second"), [
    ("US", "food-code-cooling", 57.0, 6.0), ("AU", "victoria-cooling", 60.0, 2.0 + 4.0),
])  # fmt: skip
def test_cooling_in_the_printed_hours_is_met_and_past_them_missed(
    authority: str, rule: str, from_C: float, second: float
) -> None:
    """FDA Food Code 3-501.14; Victoria's supplement prints the hours of Standard 3.2.2."""
    hours = LIMITS["cool-1", authority], LIMITS["cool-2", authority]
    assert second == hours[1] + (hours[0] if authority == "AU" else 0)
    pork = Subject("pork")
    first_s, second_s = 3600 * hours[0], 3600 * second

    def cooled(a: float, b: float) -> Verdict:
        return verdict(judged(Step.CHILL, authority, (0, from_C), (a, 21), (b, 5), subject=pork), rule)

    assert cooled(first_s, second_s) is MET
    # The core was at 21 degC no sooner than it is read there: evenly from reading to reading it crosses just then.
    assert cooled(first_s + 60, second_s) is not MET
    assert cooled(first_s, second_s + 60) is not MET
    slow = judged(Step.CHILL, authority, (0, from_C), (first_s + 60, 22), (second_s, 5), subject=pork)
    assert verdict(slow, rule) is MISSED
    warm = judged(Step.CHILL, authority, (0, from_C), (first_s, 21), (second_s + 60, 6), subject=pork)
    assert verdict(warm, rule) is MISSED


@pytest.mark.parametrize("authority", ["US", "UK", "AU"])
def test_cold_holding_at_the_printed_temperature_is_met_and_above_it_missed(authority: str) -> None:
    limit = LIMITS["cold", authority]
    for step in (Step.BAG, Step.KEEP):
        assert verdict(judged(step, authority, (0, limit)), f"keep-cold-{authority.lower()}") is MET
        assert verdict(judged(step, authority, (0, limit + 0.1)), f"keep-cold-{authority.lower()}") is MISSED


KEPT = [
    ("US", 4.0, "Food Code 3-502.12(D), 2013 on (2017, 2022)", "keep-food-code-7d", 1),
    ("AU", 4.0, "Victoria class 2 sous vide supplement", "keep-victoria-5d", 0),
    ("UK", 4.0, "Baldwin 2012 review", "keep-review-10d", 0),
]


@pytest.mark.parametrize(("authority", "fridge_C", "rule", "key", "day_one"), KEPT)
def test_days_in_the_cold_end_where_they_are_printed(
    authority: str, fridge_C: float, rule: str, key: str, day_one: int
) -> None:
    """Storage limits as published; of several rules that apply the strictest is asked.

    The Food Code counts the day of cooking as the first. The British ten days (value from memory) and the review's
    ten at this temperature agree, and the first of them by name speaks.
    """
    published = rows("chill_storage_limits.csv")
    found = next(r for r in published if r["rule"] == rule and (rule != "Baldwin 2012 review" or r["max_days"] == "10"))
    days = int(found["max_days"])
    for after, expected in ((days - day_one, MET), (days - day_one + 1, MISSED)):
        judgement = judged(
            Step.KEEP, authority, (86_400.0 * after, fridge_C), subject=Subject("beef"), pasteurised=True
        )
        assert verdict(judgement, key) is expected


@pytest.mark.parametrize("authority", ["US", "UK", "AU"])
def test_a_thermometer_is_held_to_the_printed_degree(authority: str) -> None:
    within = LIMITS["thermometer", authority]
    for off, expected in (
        (within, MET),
        (-within, MET),
        (within + 0.1, MISSED),
        (-within - 0.1, MISSED),
        (30.0, MISSED),
    ):
        ice = judged(Step.PROBE, authority, (0, off), point=Point.ICE, altitude_m=0.0)
        assert ice.verdict is expected
        boiling = judged(Step.PROBE, authority, (0, 100 + off), point=Point.BOILING, altitude_m=0.0)
        assert boiling.verdict is expected


@pytest.mark.parametrize(("altitude_m", "boils_C"), [(1500.0, 95.0), (3000.0, 90.0)])
def test_boiling_is_that_of_the_altitude(altitude_m: float, boils_C: float) -> None:
    """Water boils at about 95 degC at 1500 m and 90 degC at 3000 m (common practice, value from memory)."""
    right = judged(Step.PROBE, "US", (0, boils_C), point=Point.BOILING, altitude_m=altitude_m)
    assert right.verdict is MET
    sea_level = judged(Step.PROBE, "US", (0, 100.0), point=Point.BOILING, altitude_m=altitude_m)
    assert sea_level.verdict is MISSED
