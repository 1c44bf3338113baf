"""Altitude: the pressure of the air, the boiling point, and the highest set point that leaves control."""

from __future__ import annotations

from dataclasses import dataclass

from corebath.bath.files import number, table
from corebath.bath.spread import Spread
from corebath.bath.water import boiling_point_C
from corebath.safety.finding import Finding, Verdict
from corebath.units import between, mark


def pressure_Pa(altitude_m: float) -> float:
    """Pressure of the standard atmosphere [Pa], -500 to 5000 m.

    Source: ICAO standard atmosphere. Raises ValueError outside the range.
    """
    between("the altitude", altitude_m, number("atmosphere", "lowest_m"), number("atmosphere", "highest_m"), "m")
    cooler = 1 - number("atmosphere", "lapse_K_m") * altitude_m / number("atmosphere", "sea_level_K")
    return float(number("atmosphere", "sea_level_Pa") * cooler ** number("atmosphere", "exponent"))


def boiling_spread_C(altitude_m: float) -> Spread:
    """Boiling point at an altitude [degC], low and high two standard deviations of the barometer away."""
    p = pressure_Pa(altitude_m)
    weather = 2 * number("atmosphere", "weather_sd_Pa")
    return Spread(boiling_point_C(p), boiling_point_C(p - weather), boiling_point_C(p + weather))


@dataclass(frozen=True, slots=True)
class Heights:
    """What the altitude does to a bath.

    pressure_Pa [Pa]; boiling_C : boiling point with the weather's spread [degC]
    highest_set_point_C : highest set point that keeps clear of boiling [degC]
    statements : one sentence each, quantities as marks
    """

    pressure_Pa: float
    boiling_C: Spread
    highest_set_point_C: float
    statements: tuple[str, ...]


def at_altitude(altitude_m: float) -> Heights:
    """Pressure, boiling point and highest set point at an altitude, -500 to 5000 m; else ValueError."""
    boiling = boiling_spread_C(altitude_m)
    highest = boiling.low - number("control", "below_boiling_K")
    return Heights(
        pressure_Pa(altitude_m),
        boiling,
        highest,
        (
            f"Water boils near {mark(round(boiling.nominal, 1), 'C')} here, {mark(round(boiling.low, 1), 'C')} to "
            f"{mark(round(boiling.high, 1), 'C')} with the weather.",
            f"Set points up to {mark(round(highest, 1), 'C')} stay clear of boiling.",
            "Below boiling a set point heats food as fast here as at sea level: no time is added for altitude.",
            "A boiling dip is no hotter than the boiling point, and open water dries up faster than at sea level.",
        ),
    )


def boiling_finding(set_point_C: float, altitude_m: float) -> Finding:
    """Whether a set point keeps clear of boiling, so that bubbles do not carry the bag up or fool the heater."""
    here = at_altitude(altitude_m)
    met = set_point_C <= here.highest_set_point_C
    left_K = round(here.boiling_C.low - set_point_C, 1)
    leaves = f"leaves {mark(left_K, 'K')} below" if left_K > 0 else "is not below"
    weather_hPa = 2 * number("atmosphere", "weather_sd_Pa") / 100
    return Finding(
        rule="bath-below-boiling",
        title="The set point keeps clear of boiling",
        verdict=Verdict.MET if met else Verdict.NOT_MET,
        binding=True,
        why=(
            f"Water boils near {mark(round(here.boiling_C.nominal, 1), 'C')} at this altitude; "
            f"{mark(set_point_C, 'C')} {leaves} the lowest boiling point of ordinary weather, "
            f"{mark(round(here.boiling_C.low, 1), 'C')}; {mark(number('control', 'below_boiling_K'), 'K')} is asked."
        ),
        source=str(table("control")["source"]),
        assumptions=(f"The barometer stays within {weather_hPa:g} hPa of the standard atmosphere.",),
    )
