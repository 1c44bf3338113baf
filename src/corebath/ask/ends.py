"""The ends of a cook as typed: salt, sear, chill, keeping, reheating, each by itself, and the requests they mean."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from math import pi
from typing import Any, TypeVar

from corebath.chill.tables import media, medium
from corebath.food.catalogue import Food
from corebath.food.kinds import Handling
from corebath.log.gear import Kitchen
from corebath.plan.alone.chill import ChillRequest
from corebath.plan.alone.keep import KeepRequest
from corebath.plan.alone.reheat import ReheatRequest
from corebath.plan.alone.salt import SaltRequest
from corebath.plan.alone.sear import SearRequest
from corebath.plan.data import defaults, pace_of
from corebath.plan.known import KnownPiece
from corebath.plan.request import BadRequest, State
from corebath.plan.story import Way
from corebath.safety.authority import Authority
from corebath.sear.hot import HotFace, flux_of_water_test, grill, pan, torch
from corebath.sear.tables import burners, metals
from corebath.sear.tables import settings as sear_settings
from corebath.units import (
    NotUnderstood,
    parse_duration,
    parse_length,
    parse_mass,
    parse_power,
    parse_temperature_difference,
    parse_volume,
)

from .question import Question
from .understand import SURFACES, Misunderstood, Reader, parse_percent

T = TypeVar("T")
_ICE_WATER = "ice-water-still"
_TEST = 'type water, its rise, the time and the spot, such as "100 g, 20 C, 60 s, 6 cm"'


@dataclass(frozen=True, slots=True)
class EndQuestion(Question):
    """The answers of `Question`, and those that only an end of a cook asks for; an empty string is no answer.

    water : water of a brine or of an ice bath
    hours : waits after salting;  faces : "broad" when only those are salted
    side, turn, rest : time on a side, between turns, and in the air afterwards;  oil : fat in the pan
    burner, power, across : what the pan stands on, its power, and the pan's diameter
    grill, torch : heat of the coals, and a torch by its test with water: either one stands for the pan
    medium, at : what it is chilled in, and that as measured;  ice : ice at hand
    fridge : as measured;  pasteurised, opened : yes or no;  day : when it was cooked;  cooked : set point then
    reheat : set point of the bath it is warmed in;  serve : core to serve at;  hold : "hot" when it is held hot
    salted, kept : how long it waits after salting, and after the chill
    """

    water: str = ""
    hours: str = ""
    faces: str = ""
    side: str = ""
    turn: str = ""
    rest: str = ""
    oil: str = ""
    burner: str = ""
    power: str = ""
    across: str = ""
    grill: str = ""
    torch: str = ""
    medium: str = ""
    at: str = ""
    ice: str = ""
    fridge: str = ""
    pasteurised: str = ""
    opened: str = ""
    day: str = ""
    cooked: str = ""
    reheat: str = ""
    serve: str = ""
    hold: str = ""
    salted: str = ""
    kept: str = ""


def understand_salt(question: EndQuestion, kitchen: Kitchen) -> SaltRequest:
    """What is asked of the salt. Raises Misunderstood with every answer that is not clear, as do all of these."""
    reader = _Reader(question, kitchen)
    piece = reader.piece()
    percent = reader.read("salt", parse_percent)
    litres = reader.read("water", lambda t: parse_volume(t, prefer=reader.preference.volume))
    bath_s = reader.read("bath", parse_duration)
    hours = reader.read("hours", _hours)
    broad = reader.flag("faces", "broad")
    if litres is not None and not question.mass and piece is not None and piece.food_kg is None:
        reader.sentences["mass"] = "a brine is weighed: say the mass of one piece, such as 400 g"
    known = reader.clear(piece)
    usual = 100 * pace_of(known.food.texture).salt_share
    if percent is None and usual == 0:
        raise Misunderstood({"salt": f"no amount is usual for {known.food.name}: say one, such as 1 %"}, {})
    return SaltRequest(known, usual if percent is None else percent, litres, bath_s, hours, broad)


def understand_sear(question: EndQuestion, kitchen: Kitchen) -> SearRequest:
    """What is asked of the sear."""
    reader = _Reader(question, kitchen)
    piece = reader.piece()
    core_C = reader.core_C(piece)
    start_C = reader.degrees("start")
    hot, words = reader.hot(piece)
    surface = reader.one_of("surface", SURFACES) or str(defaults()["sear"]["surface"])
    side_s, turn_s, rest_s = (reader.read(field, parse_duration) for field in ("side", "turn", "rest"))
    known = reader.clear(piece)
    assert hot is not None
    assert core_C is not None
    return SearRequest(
        known, core_C, hot, words, surface, start_C, side_s, turn_s, 300.0 if rest_s is None else rest_s,
        question.oil or None, kitchen.room.air_C, kitchen.room.boiling_C,
    )  # fmt: skip


def understand_chill(question: EndQuestion, kitchen: Kitchen) -> ChillRequest:
    """What is asked of the chill."""
    reader = _Reader(question, kitchen)
    piece = reader.piece()
    start_C = reader.needed("start", reader.degrees, "say how hot it comes out of the bath, such as 57 C")
    key = reader.one_of("medium", tuple(key for key in media() if key != "freezer")) or _ICE_WATER
    at_C = reader.degrees("at")
    litres = reader.read("water", lambda t: parse_volume(t, prefer=reader.preference.volume))
    ice_kg = reader.read("ice", lambda t: parse_mass(t, prefer=reader.preference.mass))
    where = medium(key)
    if at_C is not None:
        where = reader.tried("at", lambda: where.measured(at_C)) or where
    known = reader.clear(piece)
    assert start_C is not None
    return ChillRequest(known, start_C, where, litres, kitchen.cold_tap_C, ice_kg, kitchen.room.air_C)


def understand_keep(question: EndQuestion, now: datetime, kitchen: Kitchen) -> KeepRequest:
    """What is asked of the keeping. now : the moment of asking, with a zone; its day counts when none is told."""
    reader = _Reader(question, kitchen)
    food = reader.food()
    piece = reader.piece(food) if question.thick else None
    day = reader.read("day", _day) or now.astimezone(kitchen.zone).date()
    fridge_C, cooked_C = reader.degrees("fridge"), reader.degrees("cooked")
    cooked_s = reader.read("bath", parse_duration)
    pasteurised, opened = reader.yes("pasteurised"), reader.yes("opened")
    guests = reader.flag("guests", "risk")
    garlic = reader.flag("bag", "garlic")
    handling = reader.choice("handling", Handling)
    authority = reader.choice("rules", Authority, str.upper) or kitchen.authority
    named = reader.clear(food)
    return _asked(
        lambda: KeepRequest(
            named, authority, day, fridge_C, pasteurised, guests, opened, garlic, cooked_C, cooked_s, piece,
            now.astimezone(kitchen.zone).date(), handling, kitchen.probe_offset_K,
        )
    )  # fmt: skip


def understand_reheat(question: EndQuestion, kitchen: Kitchen) -> ReheatRequest:
    """What is asked of the reheating; the bath is the one it was cooked in unless another is told."""
    reader = _Reader(question, kitchen)
    piece = reader.piece()
    cooked_C = reader.needed("cooked", reader.degrees, "say at what set point it was cooked, such as 57 C")
    bath_C, serve_C, start_C = reader.degrees("reheat"), reader.degrees("serve"), reader.degrees("start")
    state = reader.choice("state", State) or State.FRIDGE
    if state is State.ROOM:
        reader.sentences["state"] = "cooked food is not kept at room temperature: accepted are fridge and frozen"
    pasteurised, hot_holding = reader.yes("pasteurised"), reader.flag("hold", "hot")
    known = reader.clear(piece)
    assert cooked_C is not None
    if start_C is None:
        start_C = kitchen.freezer_C if state is State.FROZEN else kitchen.likely_fridge_C
    return _asked(
        lambda: ReheatRequest(
            known, start_C, cooked_C if bath_C is None else bath_C, cooked_C, pasteurised, serve_C, hot_holding,
            kitchen.probe_offset_K,
        )
    )  # fmt: skip


def understand_story(question: EndQuestion, kitchen: Kitchen) -> tuple[KnownPiece, Way]:
    """The piece and its way from the salt to the reheated plate."""
    reader = _Reader(question, kitchen)
    piece = reader.piece()
    set_point_C = reader.core_C(piece)
    bath_s = reader.needed(
        "bath", lambda f: reader.read(f, parse_duration), "say how long it is in the bath, such as 2 h 30 min"
    )
    percent = reader.read("salt", parse_percent)
    waits = {field: reader.read(field, parse_duration) for field in ("salted", "kept")}
    fridge_C, reheat_C, serve_C = (reader.degrees(field) for field in ("fridge", "reheat", "serve"))
    surface = reader.one_of("surface", SURFACES) or str(defaults()["sear"]["surface"])
    where = reader.one_of("medium", tuple(key for key in media() if key != "freezer")) or _ICE_WATER
    hot, _ = (None, "") if reader.flag("sear", "no") else reader.hot(piece)
    known = reader.clear(piece)
    pace = pace_of(known.food.texture)
    usual = 100 * pace.salt_share
    percent = usual if percent is None else percent
    assert set_point_C is not None
    assert bath_s is not None
    try:
        way = Way(
            set_point_C=set_point_C,
            bath_s=bath_s,
            salt_percent=percent or None,
            salt_s=pace.salt_lead_s if waits["salted"] is None else waits["salted"],
            hot=hot if known.subject.seared else None,
            film_kg_m2=sear_settings()["film"][f"{surface}_kg_m2"],
            fridge_C=kitchen.likely_fridge_C if fridge_C is None else fridge_C,
            keep_s=defaults()["story"]["keep_s"] if waits["kept"] is None else waits["kept"],
            dry_s=max(pace.dry_s, 60.0),
            chill_in=where,
            reheat_C=reheat_C,
            serve_C=serve_C,
            room_C=kitchen.room.air_C,
            boiling_C=kitchen.room.boiling_C,
            offset_K=kitchen.probe_offset_K,
        )
    except ValueError as error:
        raise Misunderstood({"story": str(error)}, {}) from None
    return known, way


class _Reader(Reader):
    """Reads what only the ends ask for."""

    question: EndQuestion

    def __init__(self, question: EndQuestion, kitchen: Kitchen) -> None:
        super().__init__(question, kitchen)
        self.kitchen = kitchen
        self.check("units", question.units, ("metric", "us"))

    def clear(self, answer: T | None) -> T:
        """The answer, once nothing is unclear any more."""
        if self.sentences or answer is None:
            raise Misunderstood(self.sentences, self.choices)
        return answer

    def needed(self, field: str, read: Callable[[str], T | None], sentence: str) -> T | None:
        if not getattr(self.question, field):
            self.sentences[field] = sentence
        return read(field)

    def yes(self, field: str) -> bool:
        return self.one_of(field, ("yes", "no")) == "yes"

    def piece(self, food: Food | None = None) -> KnownPiece | None:
        named = self.food() if food is None else food
        body = self.body(named)
        answers: dict[str, Any] = {
            "handling": self.choice("handling", Handling),
            "pieces": self.count("pieces", "the number of pieces"),
            "mass_kg": self.read("mass", lambda t: parse_mass(t, prefer=self.preference.mass)),
            "layers": self.count("layers", "the number of layers"),
            "guests_at_risk": self.flag("guests", "risk"),
            "seared": not self.flag("sear", "no"),
            "parasites_frozen": self.flag("fish", "frozen"),
            "garlic_or_oil": self.flag("bag", "garlic"),
            "authority": self.choice("rules", Authority, str.upper) or self.kitchen.authority,
            "frozen_before": (self.choice("state", State) or State.FRIDGE) is State.FROZEN,
        }
        if named is None or body is None or self.sentences:
            return None
        try:
            return KnownPiece(named, body, **answers)
        except BadRequest as error:
            self.sentences[error.field] = str(error)
            return None

    def core_C(self, piece: KnownPiece | None) -> float | None:
        """The core wanted: a result's set point, or a temperature."""
        if piece is None:
            return None
        result, set_point_C = self.want(piece.food)
        return result.set_point_C if result is not None else set_point_C

    def hot(self, piece: KnownPiece | None) -> tuple[HotFace | None, str]:
        """What it is seared on, and how that is called."""
        question, usual = self.question, defaults()["sear"]
        if question.grill and question.torch:
            self.sentences["torch"] = "say either a grill or a torch, not both"
        if question.grill:
            glow_C = self.degrees("grill")
            return None if glow_C is None else self.tried("grill", lambda: grill(glow_C)), "grill"
        if question.torch:
            return self.tried("torch", lambda: torch(_torch_W_m2(question.torch))), "torch"
        metal = self.one_of("pan", tuple(metals())) or str(usual["pan"])
        face_C = self.degrees("hot")
        burner = self.one_of("burner", tuple(burners())) or "gas"
        power_W = self.read("power", parse_power)
        across_m = self.read("across", lambda t: parse_length(t, prefer=self.preference.length))
        if piece is None:
            return None, ""
        settings = {"pan_diameter_m": across_m, "burner_W": power_W}
        told = {name: value for name, value in settings.items() if value is not None}
        face = float(usual["face_C"]) if face_C is None else face_C
        made = self.tried("hot", lambda: pan(metal, face_C=face, food_area_m2=piece.face_m2, burner=burner, **told))
        return made, f"{metal.replace('-', ' ')} pan"


def _asked(make: Callable[[], T]) -> T:
    """A request, or the sentence at the answer that it refuses."""
    try:
        return make()
    except BadRequest as error:
        raise Misunderstood({error.field: str(error)}, {}) from None


def _hours(text: str) -> tuple[float, ...]:
    parts = [part for part in re.split(r"\s*[,;]\s*", text.strip()) if part]
    if not 1 <= len(parts) <= 8:
        raise NotUnderstood("up to eight waits are taken, separated by commas, such as 4 h, 12 h, 1 day")
    hours = tuple(sorted({parse_duration(part) / 3600 for part in parts}))
    if hours[0] < 1 / 60 or hours[-1] > 14 * 24:
        raise NotUnderstood("a wait after salting must lie between 1 min and 14 days")
    return hours


def _day(text: str) -> date:
    try:
        if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
            raise ValueError
        return date.fromisoformat(text)
    except ValueError:
        raise NotUnderstood(f"{text[:40]!r} is no day: type year-month-day, such as 2027-01-03") from None


def _torch_W_m2(text: str) -> float:
    """The heat flux of a torch from its test with water."""
    parts = [part.strip() for part in text.split(",")]
    if len(parts) != 4:
        raise NotUnderstood(f"{text[:40]!r} is not a torch's test: {_TEST}")
    spot_m = parse_length(parts[3])
    return flux_of_water_test(
        parse_mass(parts[0]), parse_temperature_difference(parts[1]), parse_duration(parts[2]), pi / 4 * spot_m**2
    )
