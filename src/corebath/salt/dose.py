"""How much salt: grams for a percentage, with the question "of what" always answered both ways."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from corebath.safety.finding import Finding, Verdict
from corebath.salt.tables import settings
from corebath.units import mark


@dataclass(frozen=True, slots=True)
class Dose:
    """Salt for one percentage, read the three ways cooks read it.

    percent : grams of salt per 100 g [%]
    meat_kg, water_kg : what is salted; water_kg is 0 for a dry brine [kg]
    of_meat_kg : salt when the percentage is of the meat alone [kg]
    of_meat_and_water_kg : salt when it is of meat and water together [kg]
    of_everything_kg : the same with the salt itself counted in the whole [kg]
    statement : one sentence for the cook
    """

    percent: float
    meat_kg: float
    water_kg: float
    of_meat_kg: float
    of_meat_and_water_kg: float
    of_everything_kg: float
    statement: str


def dose(meat_kg: float, percent: float, water_kg: float = 0.0) -> Dose:
    """Salt for a percentage.

    meat_kg : 1 g to 100 kg [kg];  percent : 0.1 to 10 [%];  water_kg : 0 to 200 [kg]

    Raises ValueError outside those ranges. Plain arithmetic; no salt already in the food is counted.
    """
    _within("the meat", meat_kg, 0.001, 100.0, "kg")
    if water_kg != 0:
        _within("the water", water_kg, 0.0, 200.0, "kg")
    limits = settings()["dose_range"]
    _within("the salt", percent, limits["low_percent"], limits["high_percent"], "%")
    share = percent / 100
    of_meat, of_both = share * meat_kg, share * (meat_kg + water_kg)
    of_everything = share / (1 - share) * (meat_kg + water_kg)
    if water_kg == 0:
        statement = f"Weigh {mark(of_meat, 'kg')} of salt for {mark(meat_kg, 'kg')}: {percent:g} % of the meat."
    else:
        statement = (
            f"{percent:g} % is {mark(of_meat, 'kg')} of salt when it means the meat alone, and "
            f"{mark(of_both, 'kg')} when it means meat and water together: settle which one is meant."
        )
    return Dose(percent, meat_kg, water_kg, of_meat, of_both, of_everything, statement)


def dose_findings(percent_of_meat: float, *, cook_s: float) -> tuple[Finding, ...]:
    """What to expect of this much salt.

    percent_of_meat : salt that ends up in the meat, 0 to 10 [%];  cook_s : time in the bath, 0 or more [s]

    Returns two findings, neither of them binding: saltiness, and a cured (ham-like) texture. Raises
    ValueError outside those ranges.
    """
    _within("the salt", percent_of_meat, 0.0, settings()["dose_range"]["high_percent"], "%")
    if not (isfinite(cook_s) and cook_s >= 0):
        raise ValueError(f"the time in the bath must be 0 s or more, got {cook_s:g} s")
    return (_saltiness(percent_of_meat), _cured_texture(percent_of_meat, cook_s))


def _saltiness(percent: float) -> Finding:
    limit = settings()["salty"]
    met = percent < limit["percent"]
    return Finding(
        rule="salt-salty",
        title="not too salty for most diners",
        verdict=Verdict.MET if met else Verdict.NOT_MET,
        binding=False,
        why=f"{percent:g} % of the meat; about {limit['percent']:g} % is where most diners call it salty.",
        source=limit["source"],
        assumptions=("All the salt ends up in the meat, none runs off.",),
        achieved=percent / limit["percent"],
    )


def _cured_texture(percent: float, cook_s: float) -> Finding:
    by_salt = settings()["cured_texture"]["salt"]
    by_time = settings()["cured_texture"]["long_cook"]
    strong = percent >= by_salt["percent"]
    long = percent >= by_time["percent"] and cook_s >= by_time["hours"] * 3600
    if strong:
        why = (
            f"{percent:g} % of the meat is at or above {by_salt['percent']:g} %, where the protein structure "
            "of pork was measured to change: expect a firm, ham-like bite."
        )
        source = by_salt["source"]
    elif long:
        why = (
            f"{percent:g} % of salt and {mark(cook_s, 's')} in the bath: pieces salted beforehand and cooked "
            f"for {mark(by_time['hours'] * 3600, 's')} or more often turn ham-like; salt after the bath instead."
        )
        source = by_time["source"]
    else:
        why = (
            f"{percent:g} % of salt and {mark(cook_s, 's')} in the bath stay below "
            f"{by_salt['percent']:g} % and below {mark(by_time['hours'] * 3600, 's')} of cooking while salted."
        )
        source = f"{by_salt['source']}; {by_time['source']}"
    return Finding(
        rule="salt-cured-texture",
        title="no cured, ham-like texture",
        verdict=Verdict.NOT_MET if strong or long else Verdict.MET,
        binding=False,
        why=why,
        source=source,
        assumptions=("No curing salt (nitrite) is used.",),
    )


def _within(name: str, value: float, low: float, high: float, unit: str) -> None:
    if not (isfinite(value) and low <= value <= high):
        raise ValueError(f"{name} must lie between {low:g} and {high:g} {unit}, got {value:g} {unit}")
