"""The bath of a question: gear the kitchen owns, or sizes typed on the spot."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from corebath.bath.cover import Cover, covers
from corebath.bath.files import rows
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel
from corebath.log.gear import Kitchen
from corebath.plan.equipment import Equipment, IceStart
from corebath.units import NotUnderstood, Preference, mark, parse_duration, parse_mass, parse_power, parse_volume

from .question import Question
from .sizes import parse_heater, parse_vessel

T = TypeVar("T")
_HEAVIEST_kg = 50.0
_VESSEL = "type inner sizes, such as 24 cm x 14 cm or 40 x 30 x 20 cm"
_HEATER = "type power and marks, such as 1.1 kW, 9 cm to 12 cm"


def equipment_of(question: Question, kitchen: Kitchen, prefer: Preference, wrong: dict[str, str]) -> Equipment | None:
    """The equipment a question means, None when neither it nor the kitchen names a vessel and a heater.

    wrong : receives one sentence by field for each answer that is not clear
    """

    def read(field: str, parse: Callable[[str], T]) -> T | None:
        text = getattr(question, field)
        if not text:
            return None
        try:
            return parse(text)
        except ValueError as error:
            wrong[field] = str(error)
            return None

    vessel = read("vessel", lambda t: _vessel(t, kitchen, prefer))
    if vessel is None and (usual_vessel := kitchen.vessel()) is not None:
        vessel = usual_vessel.vessel
    heater = read("heater", lambda t: _heater(t, kitchen, prefer))
    if heater is None and (usual_heater := kitchen.heater()) is not None:
        heater = usual_heater.heater
    cover = read("cover", Cover.named) or Cover.named(kitchen.cover)
    litres = read("litres", lambda t: parse_volume(t, prefer=prefer.volume))
    weight_kg = read("weight", lambda t: _weight(t, prefer))
    sealed = read("sealed", _sealed) or "displacement"
    if vessel is None or heater is None:
        if question.vessel and heater is None and "heater" not in wrong:
            wrong["heater"] = "say which heater: its power and marks, such as 1.1 kW, 9 cm to 12 cm"
        if question.heater and vessel is None and "vessel" not in wrong:
            wrong["vessel"] = "say which vessel: its inner sizes, such as 24 cm x 14 cm"
        return None
    if litres is not None and not 0.5 <= litres <= vessel.volume_m3 * 1000:
        most = mark(round(vessel.volume_m3 * 1000, 1), "L")
        wrong["litres"] = f"this vessel takes {mark(0.5, 'L')} to {most} of water"
        return None
    return Equipment(
        vessel=vessel,
        heater=heater,
        cover=cover,
        room=kitchen.room,
        litres=litres,
        fill_C=kitchen.cold_tap_C,
        top_up_C=kitchen.hot_tap_C,
        price_per_kWh=kitchen.price_per_kWh,
        currency=kitchen.currency,
        bagging=sealed,
        weight_kg=weight_kg or 0.0,
    )


def cover_choices() -> tuple[tuple[str, str], ...]:
    """Keys and words of the covers."""
    return tuple((cover.key, cover.words) for cover in covers())


def sealing_choices() -> tuple[tuple[str, str], ...]:
    """Keys and words of the ways to close a bag."""
    return tuple((row["key"], row["words"]) for row in rows("bag_air.csv").values())


def parse_ice(text: str, prefer: Preference) -> IceStart:
    """A wait in ice water from its time and its ice, in either order: "7 h, 3 kg". Raises NotUnderstood."""
    parts = [part for part in re.split(r"[,;]\s+|\s+and\s+|\s+with\s+", text.strip()) if part]
    if len(parts) != 2:
        raise NotUnderstood(f"{text[:40]!r} is no wait in ice: type its time and its ice, such as 7 h, 3 kg")
    try:
        wait_s = parse_duration(parts[0])
    except NotUnderstood:
        parts.reverse()
        wait_s = parse_duration(parts[0])
    try:
        return IceStart(wait_s, parse_mass(parts[1], prefer=prefer.mass))
    except ValueError as error:
        raise NotUnderstood(str(error)) from None


def _weight(text: str, prefer: Preference) -> float:
    weight_kg = parse_mass(text, prefer=prefer.mass)
    if weight_kg > _HEAVIEST_kg:
        raise NotUnderstood(f"the weight on a bag can be {mark(_HEAVIEST_kg, 'kg')} at most")
    return weight_kg


def _vessel(text: str, kitchen: Kitchen, prefer: Preference) -> Vessel:
    named = kitchen.vessel(text)
    if named is not None:
        return named.vessel
    if not any(character.isdigit() for character in text):
        owned = ", ".join(v.name for v in kitchen.vessels)
        raise NotUnderstood(
            f"{text[:40]!r} is no vessel of this kitchen, which has {owned}: name one of those, or {_VESSEL}"
            if owned
            else f"{text[:40]!r} is no vessel: this kitchen has none yet, so {_VESSEL}"
        )
    sizes, _, wall = text.rpartition(",")
    if wall.strip() in rows("walls.csv"):
        return parse_vessel(sizes, wall.strip(), prefer)
    return parse_vessel(text, "steel", prefer)


def _heater(text: str, kitchen: Kitchen, prefer: Preference) -> Heater:
    named = kitchen.heater(text)
    if named is not None:
        return named.heater
    # A comma between figures is a decimal comma.
    power, *marks = re.split(r"(?<=[^\W\d])\s*[,;]\s*|[,;]\s+", text, maxsplit=1)
    if marks:
        return parse_heater(power, marks[0], prefer)
    try:
        parse_power(text)
    except NotUnderstood:
        owned = ", ".join(h.name for h in kitchen.heaters)
        raise NotUnderstood(
            f"{text[:40]!r} is no heater of this kitchen, which has {owned}: name one of those, or {_HEATER}"
            if owned
            else f"{text[:40]!r} is no heater: this kitchen has none yet, so {_HEATER}"
        ) from None
    raise NotUnderstood(f"{text[:40]!r} is the power alone: {_HEATER}")


def _sealed(text: str) -> str:
    known = [key for key, _ in sealing_choices()]
    if text not in known:
        raise NotUnderstood(f"{text[:40]!r} is no way of closing a bag: accepted are {', '.join(known)}")
    return text
