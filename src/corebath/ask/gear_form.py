"""The gear as typed: answers about the kitchen, and the kitchen they mean."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from typing import Any, TypeVar

from corebath.bath.cover import Cover
from corebath.bath.files import rows
from corebath.bath.gear import Room
from corebath.bath.probe import Check, boiling_check, ice_check, probe_offset
from corebath.log.gear import Kitchen, NamedHeater, NamedVessel
from corebath.safety.authority import Authority
from corebath.units import (
    NotUnderstood,
    Preference,
    parse_length,
    parse_money,
    parse_temperature,
    parse_temperature_difference,
    show_length,
    show_temperature,
    show_temperature_difference,
)

from .degrees import UNITS
from .sizes import parse_heater, parse_share, parse_vessel
from .understand import Misunderstood
from .when import parse_zone

T = TypeVar("T")
_MIDDLING_C = 60.0  # set point at which the offset is worked out; baths lie within some 25 K of it


def answers_of(kitchen: Kitchen) -> dict[str, str]:
    """The kitchen as the gear page's answers, in its own units."""
    p = kitchen.preference

    def degrees(value_C: float) -> str:
        return show_temperature(value_C, p, both=False)

    price = "" if kitchen.price_per_kWh is None else f"{kitchen.price_per_kWh:g} {kitchen.currency}"
    return {
        "zone": kitchen.zone.key,
        "units": next(name for name, preference in UNITS.items() if preference == p),
        "rules": kitchen.authority.value,
        "air": degrees(kitchen.room.air_C),
        "humidity": f"{100 * kitchen.room.humidity:g} %",
        "altitude": show_length(kitchen.room.altitude_m, p, both=False) if kitchen.room.altitude_m > 0 else "0 m",
        "cold": degrees(kitchen.cold_tap_C),
        "hot": degrees(kitchen.hot_tap_C),
        "fridge": "" if kitchen.fridge_C is None else degrees(kitchen.fridge_C),
        "freezer": degrees(kitchen.freezer_C),
        "probe": show_temperature_difference(kitchen.probe_offset_K, p, both=False),
        "price": price,
        "cover": kitchen.cover,
    }


def understand_gear(answers: Mapping[str, str], kitchen: Kitchen) -> Kitchen:
    """The kitchen that the gear page's answers mean; what is not answered stays as it is.

    Beside the names of `answers_of`: `remove-vessel`, `usual-vessel` (names), `vessel-name`, `vessel-size`,
    `vessel-wall` for a new one, and likewise for heaters with `heater-name`, `heater-power`, `heater-marks`.
    Raises Misunderstood with one sentence for each answer that is not clear; nothing is changed then.
    """
    wrong: dict[str, str] = {}
    p = UNITS.get(answers.get("units", ""), kitchen.preference)
    shown = answers_of(kitchen)

    def read(field: str, parse: Callable[[str], T], now: T) -> T:
        text = answers.get(field, "").strip()
        # What stands as it was shown was rounded for showing only.
        if not text or text == shown.get(field):
            return now
        try:
            return parse(text)
        except ValueError as error:
            wrong[field] = str(error)
            return now

    def degrees(text: str) -> float:
        return parse_temperature(text, prefer=p.temperature)

    changes: dict[str, Any] = {
        "zone": read("zone", parse_zone, kitchen.zone),
        "preference": read("units", _units, kitchen.preference),
        "authority": read("rules", Authority, kitchen.authority),
        "cold_tap_C": read("cold", degrees, kitchen.cold_tap_C),
        "hot_tap_C": read("hot", degrees, kitchen.hot_tap_C),
        "fridge_C": read("fridge", degrees, None if answers.get("fridge", "-").strip() == "" else kitchen.fridge_C),
        "freezer_C": read("freezer", degrees, kitchen.freezer_C),
        "probe_offset_K": read(
            "probe", lambda t: parse_temperature_difference(t, prefer=p.temperature), kitchen.probe_offset_K
        ),
        "cover": read("cover", lambda t: Cover.named(t).key, kitchen.cover),
    }
    if answers.get("price", shown["price"]).strip() != shown["price"]:
        money = read("price", lambda t: parse_money(t, prefer=kitchen.currency), None)
        changes["price_per_kWh"] = None if money is None else money.amount
        changes["currency"] = kitchen.currency if money is None else money.currency
    if answers.get("ice", "").strip() or answers.get("boiling", "").strip():
        changes["probe_offset_K"] = _checked_offset_K(answers, degrees, kitchen, wrong)
    room = kitchen.room
    altitude_m = read("altitude", lambda t: parse_length(t, prefer=None), room.altitude_m)
    humidity = read("humidity", partial(parse_share, "a humidity"), room.humidity)
    air_C = read("air", degrees, room.air_C)
    try:
        changes["room"] = Room(air_C, humidity, altitude_m, room.draught_m_s)
    except ValueError as error:
        wrong["air" if "air" in str(error) else "altitude" if "altitude" in str(error) else "humidity"] = str(error)
    changes["vessels"] = _things(kitchen.vessels, answers, "vessel", lambda: _new_vessel(answers, p), wrong)
    changes["heaters"] = _things(kitchen.heaters, answers, "heater", lambda: _new_heater(answers, p), wrong)
    if not wrong:
        try:
            return replace(kitchen, **changes)
        except ValueError as error:
            wrong["kitchen"] = str(error)
    raise Misunderstood(wrong, {})


def walls() -> tuple[tuple[str, str], ...]:
    """Keys and words of the materials a vessel may have."""
    return tuple((row["key"], row["words"]) for row in rows("walls.csv").values())


def _checked_offset_K(
    answers: Mapping[str, str], degrees: Callable[[str], float], kitchen: Kitchen, wrong: dict[str, str]
) -> float:
    """Offset of the thermometer at a middling set point from readings in melting ice and in boiling water [K]."""
    checks: dict[str, Check | None] = {"ice": None, "boiling": None}
    for name, check in (("ice", ice_check), ("boiling", lambda r: boiling_check(r, kitchen.room.altitude_m))):
        text = answers.get(name, "").strip()
        if text:
            try:
                checks[name] = check([degrees(text)])
            except ValueError as error:
                wrong[name] = str(error)
    if wrong:
        return kitchen.probe_offset_K
    return probe_offset(_MIDDLING_C, checks["ice"], checks["boiling"]).offset_K


def _new_vessel(answers: Mapping[str, str], prefer: Preference) -> NamedVessel:
    vessel = parse_vessel(answers.get("vessel-size", ""), answers.get("vessel-wall", "") or "steel", prefer)
    return NamedVessel(answers["vessel-name"].strip(), vessel)


def _new_heater(answers: Mapping[str, str], prefer: Preference) -> NamedHeater:
    heater = parse_heater(answers.get("heater-power", ""), answers.get("heater-marks", ""), prefer)
    return NamedHeater(answers["heater-name"].strip(), heater)


N = TypeVar("N", NamedVessel, NamedHeater)


def _things(
    things: tuple[N, ...], answers: Mapping[str, str], what: str, new: Callable[[], N], wrong: dict[str, str]
) -> tuple[N, ...]:
    """The things of a kind after one was removed, added or made the usual one."""
    removed, usual = answers.get(f"remove-{what}", ""), answers.get(f"usual-{what}", "")
    kept = [thing for thing in things if thing.name != removed]
    if answers.get(f"{what}-name", "").strip():
        try:
            kept.append(new())
        except ValueError as error:
            wrong[f"{what}-name"] = str(error)
    return tuple(sorted(kept, key=lambda thing: thing.name != usual)) if usual else tuple(kept)


def _units(text: str) -> Preference:
    if text not in UNITS:
        raise NotUnderstood(f"{text[:40]!r} are no units known here: accepted are {', '.join(UNITS)}")
    return UNITS[text]
