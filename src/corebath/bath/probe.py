"""Is the thermometer right: ice point, boiling point at this altitude, and the offset between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt
from statistics import fmean, stdev

from corebath.bath.altitude import boiling_spread_C
from corebath.bath.files import number
from corebath.bath.say import quantity
from corebath.bath.water import boiling_point_C
from corebath.units import between


@dataclass(frozen=True, slots=True)
class Check:
    """A probe against a known temperature.

    true_C : what it should read;  offset_K : what it reads beyond that;  sd_K : standard deviation of the offset
    statement : one sentence
    """

    true_C: float
    offset_K: float
    sd_K: float
    statement: str


@dataclass(frozen=True, slots=True)
class Offset:
    """What a probe reads beyond the truth at one temperature, with its standard deviation.

    at_C : the temperature [degC];  offset_K, sd_K [K];  statement : one sentence
    """

    at_C: float
    offset_K: float
    sd_K: float
    statement: str

    def true_C(self, reading_C: float) -> float:
        """The temperature behind a reading near `at_C` [degC]."""
        return reading_C - self.offset_K

    def cautious_C(self, reading_C: float) -> float:
        """The temperature that the truth exceeds with 95 % probability [degC]; for cautious times."""
        return reading_C - self.offset_K - number("probe", "cautious_sd") * self.sd_K


def ice_check(readings_C: Sequence[float], resolution_K: float = 0.1) -> Check:
    """Readings in a slurry of crushed ice and water.

    readings_C : one or more, within 20 K of 0 [degC];  resolution_K : last digit shown, 0.001 to 1 [K]

    Raises ValueError outside those ranges.
    """
    return _check(readings_C, resolution_K, 0.0, number("probe", "ice_slurry_sd_K"), "melting ice")


def boiling_check(
    readings_C: Sequence[float],
    altitude_m: float | None = None,
    resolution_K: float = 0.1,
    barometer_Pa: float | None = None,
) -> Check:
    """Readings in water at a full boil.

    altitude_m : -500 to 5000, for the standard atmosphere and the weather's spread [m]
    barometer_Pa : station pressure, instead, not reduced to sea level [Pa]

    Give exactly one of the two, else ValueError; also outside the ranges of `ice_check` about the true value.
    """
    if (altitude_m is None) == (barometer_Pa is None):
        raise ValueError("a boiling check needs either the altitude or the barometer at the place")
    own = number("probe", "boiling_sd_K")
    if barometer_Pa is not None:
        return _check(readings_C, resolution_K, boiling_point_C(barometer_Pa), own, "boiling water")
    assert altitude_m is not None
    boiling = boiling_spread_C(altitude_m)
    weather = (boiling.high - boiling.low) / 4
    return _check(readings_C, resolution_K, boiling.nominal, hypot(own, weather), "boiling water")


def probe_offset(at_C: float, ice: Check | None = None, boiling: Check | None = None) -> Offset:
    """The offset of a probe at a set point from one or both checks.

    at_C : 0 to the boiling check's temperature, or to 100 [degC]

    Linear between two checks; one check alone is taken to hold at every temperature and its spread is doubled.
    Raises ValueError outside the range or without a check.
    """
    if ice is None and boiling is None:
        raise ValueError("an offset needs an ice check or a boiling check")
    between("the set point", at_C, 0.0, boiling.true_C if boiling is not None else 100.0, "C")
    if ice is not None and boiling is not None:
        share = (at_C - ice.true_C) / (boiling.true_C - ice.true_C)
        offset = (1 - share) * ice.offset_K + share * boiling.offset_K
        sd = hypot((1 - share) * ice.sd_K, share * boiling.sd_K)
        basis = "from both checks"
    else:
        only = ice if ice is not None else boiling
        assert only is not None
        offset, sd, basis = only.offset_K, 2 * only.sd_K, "from one check, taken to hold here with twice its spread"
    return Offset(
        at_C,
        offset,
        sd,
        f"At {quantity(at_C, 'C')} the probe reads {_beyond(offset)} "
        f"(standard deviation {quantity(sd, 'K')}), {basis}.",
    )


def _check(readings_C: Sequence[float], resolution_K: float, true_C: float, place_sd_K: float, where: str) -> Check:
    if not readings_C:
        raise ValueError("a check needs at least one reading")
    between("the last digit shown", resolution_K, 0.001, 1.0, "K")
    for reading in readings_C:
        between(f"a reading in {where}", reading, round(true_C - 20, 1), round(true_C + 20, 1), "C")
    offset = fmean(readings_C) - true_C
    scatter = stdev(readings_C) / sqrt(len(readings_C)) if len(readings_C) > 1 else 0.0
    sd = hypot(scatter, resolution_K / sqrt(12), place_sd_K)
    return Check(
        true_C,
        offset,
        sd,
        f"In {where}, {quantity(true_C, 'C')} here, the probe reads {_beyond(offset)} "
        f"(standard deviation {quantity(sd, 'K')}).",
    )


def _beyond(offset_K: float) -> str:
    if abs(offset_K) < 0.05:
        return "right"
    return f"{quantity(abs(offset_K), 'K')} {'high' if offset_K > 0 else 'low'}"
