"""Plans to be handed on, asked as a cook would: short, very long, over a change of the clocks, for guests at risk."""

from __future__ import annotations

from datetime import datetime
from functools import cache
from zoneinfo import ZoneInfo

from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from corebath.ask.question import Question
from corebath.ask.understand import understand
from corebath.log.gear import Kitchen
from corebath.plan.ends import Ends, make_ends
from corebath.plan.make import make_plan
from corebath.plan.plan import Plan

PARIS = ZoneInfo("Europe/Paris")
TUESDAY = datetime(2027, 5, 4, 9, 0, tzinfo=PARIS)
FRIDAY = datetime(2027, 10, 29, 12, 0, tzinfo=PARIS)
_TUB = {"vessel": "40 cm x 30 cm x 20 cm", "heater": "1.1 kW, 8 cm to 18 cm"}
_ASKED = {
    "steak": {"food": "beef ribeye steak", "thick": "30 mm", "mass": "280 g", "pieces": "2", "want": "medium rare"},
    "ribs": {
        "food": "short ribs", "thick": "40 mm", "mass": "400 g", "pieces": "4", "want": "57 C", "bath": "36 h",
        "eat": "2027-10-31 18:30", "litres": "18 L", "guests": "risk", **_TUB,
    },
    "four days": {
        "food": "short ribs", "thick": "60 mm", "mass": "2 kg", "pieces": "3", "want": "56 C", "bath": "96 h",
        "eat": "2027-05-12 18:30", "guests": "risk", "bag": "garlic", "handling": "tenderised", **_TUB,
    },
    "chicken": {
        "food": "chicken breast", "thick": "38 mm", "mass": "220 g", "pieces": "10", "want": "62 C", "rules": "UK",
    },
    "egg": {"food": "egg", "thick": "45 mm", "want": "63 C", "bath": "60 min"},
    "frozen": {"food": "pork loin", "thick": "90 mm", "shape": "cylinder", "want": "60 C", "state": "frozen"},
    "in ice": {
        "food": "chicken breast", "thick": "25 mm", "mass": "200 g", "want": "62 C", "ice": "3 h, 5 kg",
        "eat": "2027-05-05 20:00", "cover": "loose-lid", **_TUB,
    },
    "in layers": {
        "food": "chicken breast", "thick": "20 mm", "mass": "150 g", "pieces": "6", "layers": "2", "want": "62 C",
        "rules": "AU",
    },
    "next week": {
        "food": "beef ribeye steak", "thick": "30 mm", "mass": "280 g", "want": "medium rare",
        "eat": "2027-05-11 19:30",
    },
    "cold": {"food": "beef ribeye steak", "thick": "30 mm", "want": "49 C", "guests": "risk"},
}  # fmt: skip
WORKING = tuple(name for name in _ASKED if name != "cold")


@cache
def handed(name: str) -> tuple[Plan, Ends]:
    """One of the plans with its ends, made once."""
    now = FRIDAY if name == "ribs" else TUESDAY
    plan = make_plan(understand(Question(**{"eat": "20:00", **_ASKED[name]}), now, Kitchen(zone=PARIS)), offer=False)
    return plan, make_ends(plan)


def made(name: str) -> datetime:
    """When it was asked."""
    return handed(name)[0].request.now


def marked(reader: PdfReader) -> bool:
    """Whether a PDF says that it is tagged."""
    info = reader.root_object.get("/MarkInfo")
    return isinstance(info, DictionaryObject) and bool(info["/Marked"])
