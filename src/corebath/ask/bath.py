"""The bath by itself as typed, and the request it means."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import datetime, time
from functools import partial

from corebath.bath.altitude import at_altitude
from corebath.bath.files import number
from corebath.bath.gear import Room
from corebath.log.gear import Kitchen
from corebath.plan.alone.bath import BathRequest
from corebath.plan.data import defaults
from corebath.plan.equipment import Equipment
from corebath.plan.known import KnownPiece
from corebath.plan.request import BadRequest, State
from corebath.plan.water import usual_night
from corebath.units import (
    NotUnderstood,
    mark,
    parse_duration,
    parse_length,
    parse_mass,
    parse_money,
    parse_temperature_difference,
)

from .equipment import equipment_of, parse_ice
from .question import Question
from .sizes import parse_share
from .understand import Misunderstood, Reader
from .when import parse_ahead, parse_zone

_NIGHT = re.compile(r"(\d{1,2})[:.](\d{2})\s*(?:to|-|–)\s*(\d{1,2})[:.](\d{2})")
_KETTLE, _TAP = "kettle", "tap"


@dataclass(frozen=True, slots=True)
class BathQuestion(Question):
    """The answers of `Question`, and those that only the bath by itself asks for; an empty string is no answer.

    set : set point;  starts : when the hold begins;  asleep : when nobody pours, such as "23:00 to 7:00"
    mix : tap, kettle or the temperature of the hot water;  swap_to, swap_with : to change the temperature afterwards
    off : length of a power cut;  above : the bath is to stay above this;  dip : fall allowed when food goes in
    tap, hot_tap, room, humidity, altitude, price : of this kitchen, where they are not as its gear says
    wrap : "towels" round the sides;  open : share of the water that the cover leaves open
    """

    set: str = ""
    starts: str = ""
    asleep: str = ""
    mix: str = ""
    swap_to: str = ""
    swap_with: str = ""
    off: str = ""
    above: str = ""
    dip: str = ""
    tap: str = ""
    hot_tap: str = ""
    room: str = ""
    humidity: str = ""
    altitude: str = ""
    price: str = ""
    wrap: str = ""
    open: str = ""


def understand_bath(question: BathQuestion, now: datetime, kitchen: Kitchen) -> BathRequest:
    """What is asked of the bath. Raises Misunderstood with every answer that is not clear."""
    reader = _Reader(question, kitchen)
    here = reader.kitchen(kitchen)
    zone = reader.read("zone", parse_zone) or here.zone
    set_point_C = reader.set_point_C(here)
    equipment = reader.equipment(here)
    hold_s = reader.read("bath", parse_duration)
    starts = reader.read("starts", lambda t: parse_ahead(t, now, zone)) or now
    night = reader.read("asleep", parse_night) or usual_night()
    hot_C = reader.hot_C("mix", here)
    if not question.mix and here.hot_tap_C > here.cold_tap_C:
        hot_C = here.hot_tap_C
    swap_C = reader.degrees("swap_to")
    swap_with_C = reader.hot_C("swap_with", here)
    off_s = reader.read("off", parse_duration)
    above_C = reader.degrees("above")
    dip_K = reader.read("dip", lambda t: parse_temperature_difference(t, prefer=reader.degree))
    piece = reader.piece()
    start_C = reader.start_C(here)
    ice = reader.read("ice", lambda t: parse_ice(t, reader.preference))
    if reader.sentences or equipment is None or set_point_C is None:
        raise Misunderstood(reader.sentences, reader.choices)
    if swap_C is not None and swap_with_C is None:
        swap_with_C = here.cold_tap_C if swap_C < set_point_C else _boiling_C(here)
    usual = defaults()
    try:
        return BathRequest(
            equipment=equipment,
            set_point_C=set_point_C,
            hold_s=usual["hold"]["seconds"] if hold_s is None else hold_s,
            starts=starts,
            zone=zone,
            night=night,
            hot_C=hot_C,
            off_s=usual["outage"]["seconds"] if off_s is None else off_s,
            above_C=usual["outage"]["watch_C"] if above_C is None else above_C,
            dip_K=usual["load"]["dip_K"] if dip_K is None else dip_K,
            swap_C=swap_C,
            swap_with_C=swap_with_C,
            piece=piece,
            start_C=start_C,
            ice=ice,
        )
    except ValueError as error:
        raise Misunderstood({"bath": str(error)}, {}) from None


class _Reader(Reader):
    """Reads what only the bath asks for."""

    question: BathQuestion

    def kitchen(self, kitchen: Kitchen) -> Kitchen:
        """The kitchen with what the question says otherwise."""
        room = kitchen.room
        money = self.read("price", lambda t: parse_money(t, prefer=kitchen.currency))
        altitude_m = self.read("altitude", lambda t: parse_length(t, prefer=None))
        air_C, humidity = self.degrees("room"), self.read("humidity", partial(parse_share, "a humidity"))
        cold_C, hot_C = self.degrees("tap"), self.degrees("hot_tap")
        around = self.tried(
            "room",
            lambda: Room(
                room.air_C if air_C is None else air_C,
                room.humidity if humidity is None else humidity,
                room.altitude_m if altitude_m is None else altitude_m,
                room.draught_m_s,
            ),
        )
        made = self.tried(
            "tap",
            lambda: replace(
                kitchen,
                room=around or room,
                cold_tap_C=kitchen.cold_tap_C if cold_C is None else cold_C,
                hot_tap_C=kitchen.hot_tap_C if hot_C is None else hot_C,
                price_per_kWh=kitchen.price_per_kWh if money is None else money.amount,
                currency=kitchen.currency if money is None else money.currency,
            ),
        )
        return made or kitchen

    def set_point_C(self, kitchen: Kitchen) -> float | None:
        """The set point, refused where water is not liquid; one too near boiling gets its finding instead."""
        if not self.question.set:
            self.sentences["set"] = "say the temperature the bath is set to, such as 57 C"
        told_C = self.degrees("set")
        if told_C is None or 0.0 <= told_C <= kitchen.room.boiling_C - 1:
            return told_C
        here = at_altitude(kitchen.room.altitude_m)
        self.sentences["set"] = (
            f"the bath temperature must lie between {mark(0, 'C')} and "
            f"{mark(round(here.highest_set_point_C, 1), 'C')}, "
            f"clear of boiling near {mark(round(here.boiling_C.nominal, 1), 'C')} here, got {mark(told_C, 'C')}"
        )
        return None

    def equipment(self, kitchen: Kitchen) -> Equipment | None:
        equipment = equipment_of(self.question, kitchen, self.preference, self.sentences)
        if equipment is None:
            if not {"vessel", "heater", "litres"} & self.sentences.keys():
                self.sentences["vessel"] = (
                    "say which vessel and which heater, such as 24 cm x 14 cm and 1.1 kW, 9 cm to 12 cm; "
                    "the Gear screen keeps them"
                )
            return None
        share = self.read("open", partial(parse_share, "a share of the water"))
        if share is not None:
            equipment = replace(equipment, cover=equipment.cover.leaving_open(share))
        if self.flag("wrap", "towels"):
            equipment = replace(equipment, vessel=replace(equipment.vessel, wrap_m2K_W=number("wrap", "towel_m2K_W")))
        return equipment

    def hot_C(self, field: str, kitchen: Kitchen) -> float | None:
        """Water to mix with: from the hot tap, from a kettle, or as measured."""
        text = getattr(self.question, field).lower()
        if text in (_TAP, _KETTLE):
            return kitchen.hot_tap_C if text == _TAP else _boiling_C(kitchen)
        return self.degrees(field)

    def piece(self) -> KnownPiece | None:
        if not self.question.food:
            return None
        food = self.food()
        body = self.body(food)
        pieces = self.count("pieces", "the number of pieces")
        layers = self.count("layers", "the number of layers")
        mass_kg = self.read("mass", lambda t: parse_mass(t, prefer=self.preference.mass))
        if food is None or body is None or self.sentences:
            return None
        try:
            return KnownPiece(food, body, pieces=pieces, mass_kg=mass_kg, layers=layers)
        except BadRequest as error:
            self.sentences[error.field] = str(error)
            return None

    def start_C(self, kitchen: Kitchen) -> float:
        state = self.choice("state", State) or State.FRIDGE
        usual = {State.FRIDGE: kitchen.likely_fridge_C, State.FROZEN: kitchen.freezer_C, State.ROOM: kitchen.room.air_C}
        told_C = self.degrees("start")
        return usual[state] if told_C is None else told_C


def _boiling_C(kitchen: Kitchen) -> float:
    return min(kitchen.room.boiling_C, 100.0)


def parse_night(text: str) -> tuple[time, time]:
    """Begin and end of a night by the clock, from "23:00 to 7:00" or "23:00-07:00". Raises NotUnderstood."""
    match = _NIGHT.fullmatch(text.strip())
    try:
        if match is not None:
            return time(int(match[1]), int(match[2])), time(int(match[3]), int(match[4]))
    except ValueError:
        pass
    raise NotUnderstood(f"{text[:40]!r} is no night: type when it begins and ends, such as 23:00 to 7:00")
