"""Records: what a kitchen writes down of each step of its work, for itself and for an inspector.

A row is never changed and never taken away: a mistake is corrected by a new row that points at the old one, and what
was done about a missed limit is a row that points at the row that missed it.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from math import isfinite

from corebath.safety.authority import Authority
from corebath.safety.subject import Subject
from corebath.units import mark

from .settings import settings
from .texts import check_readings, check_text, limits


class Step(StrEnum):
    """What a row is about, in the order of the work; `ACTION` is what was done about another row."""

    BAG = "bag"
    COOK = "cook"
    CHILL = "chill"
    KEEP = "keep"
    REHEAT = "reheat"
    PROBE = "probe"
    ACTION = "action"


class Point(StrEnum):
    """The known temperature a thermometer is held in."""

    ICE = "ice"
    BOILING = "boiling"


@dataclass(frozen=True, slots=True)
class Measured:
    """One temperature as it was read. at : with a zone;  value_C : as measured [degC]"""

    at: datetime
    value_C: float


@dataclass(frozen=True, slots=True)
class Record:
    """One row.

    batch : what it is about, as the kitchen calls it; of a probe check the thermometer
    told_at : when it was entered;  initials : whose hand;  authority : whose limits it is held to
    measured : in rising time, values as measured
    began, ended : of the step: out of the cold, drop-in, out of the bath, the day of cooking for a keep;  and its end
    set_C : set point of the bath [degC]
    food, subject : what it is, in words and as the rules need it; "" and None where it was not told
    pasteurised, opened, held_hot : the binding heat treatment was met; the bag was opened; it is held hot
    point, altitude_m : where a thermometer was checked, and how high that kitchen lies [m]
    offset_K : what the thermometer was known to read too high then [K]
    action : what was done about a missed limit;  note : anything else; of a correction, why
    points_at : number of the row it corrects or, for `ACTION`, acts on
    cook_id : the cook of the log it is about, None when there is none or it is gone
    id : its number, None before it is stored

    Raises ValueError without a zone, for texts too long or missing, for temperatures no thermometer in a kitchen
    reads, for times out of their order, and for answers that do not belong to the step.
    """

    step: Step
    batch: str
    told_at: datetime
    initials: str
    authority: Authority = Authority.US
    measured: tuple[Measured, ...] = ()
    began: datetime | None = None
    ended: datetime | None = None
    set_C: float | None = None
    food: str = ""
    subject: Subject | None = None
    pasteurised: bool = False
    opened: bool = False
    held_hot: bool = False
    point: Point | None = None
    altitude_m: float | None = None
    offset_K: float = 0.0
    action: str = ""
    note: str = ""
    points_at: int | None = None
    cook_id: int | None = None
    id: int | None = None

    def __post_init__(self) -> None:
        self._check_texts()
        moments = [m.at for m in self.measured]
        if any(at.tzinfo is None for at in (self.told_at, *moments, *filter(None, (self.began, self.ended)))):
            raise ValueError("a record needs a time zone")
        if len(moments) > settings("records")["texts"]["measured_a_row"]:
            raise ValueError(f"a row holds at most {settings('records')['texts']['measured_a_row']} readings")
        check_readings(*(m.value_C for m in self.measured))
        if any(b <= a for a, b in itertools.pairwise(moments)):
            raise ValueError("the readings of a row must follow each other in time, one for each moment")
        if self.began is not None and self.ended is not None and self.ended < self.began:
            raise ValueError("a step cannot end before it began")
        if self.set_C is not None and not (isfinite(self.set_C) and 0 <= self.set_C <= 100):
            raise ValueError(f"a set point must lie between {mark(0, 'C')} and {mark(100, 'C')}")
        if not (isfinite(self.offset_K) and -5 <= self.offset_K <= 5):
            raise ValueError(f"a thermometer's offset must lie between {mark(-5, 'K')} and {mark(5, 'K')}")
        if (self.step is Step.PROBE) != (self.point is not None and self.altitude_m is not None):
            raise ValueError("a check of a thermometer, and nothing else, says where it was held and at what altitude")
        if self.altitude_m is not None and not -500 <= self.altitude_m <= 5000:
            raise ValueError(f"the altitude must lie between {mark(0, 'm')} and {mark(5000, 'm')}, or a little below")
        if self.step is Step.ACTION and (self.points_at is None or not self.action):
            raise ValueError("a corrective action says what was done, and about which row")

    def _check_texts(self) -> None:
        longest = limits().note_characters
        check_text(self.batch, limits().name_characters, "what a record is about", shortest=1)
        check_text(self.food, limits().name_characters, "the food of a record")
        check_text(self.initials, settings("records")["texts"]["initials_characters"], "initials", shortest=1)
        check_text(self.action, longest, "a corrective action")
        check_text(self.note, longest, "a note")
        if not (self.batch.isprintable() and self.initials.isprintable()):
            raise ValueError("what a record is about, and the initials, stand on one line")
        if self.points_at is not None and self.step is not Step.ACTION and not self.note.strip():
            raise ValueError("a correction says in its note why the old row was wrong")

    @property
    def at(self) -> datetime:
        """The moment it stands under: its last reading, else its end, its beginning, or when it was entered."""
        return self.measured[-1].at if self.measured else self.ended or self.began or self.told_at

    def counted_C(self, worst: Callable[[float, float], float]) -> tuple[float, ...]:
        """The readings as they count [degC]: of each as measured and as put right by the offset, the worse.

        worst : `min` where a limit asks for heat, `max` where it asks for cold
        """
        return tuple(worst(m.value_C, m.value_C - self.offset_K) for m in self.measured)


@dataclass(frozen=True, slots=True)
class Entry:
    """A row with what points at it. actions : done about it, in order;  corrected_by : the row in its place, or None"""

    record: Record
    actions: tuple[Record, ...] = ()
    corrected_by: int | None = None

    @property
    def answered(self) -> bool:
        """True when nothing more is asked about it, whatever its limits say."""
        return bool(self.record.action or self.actions or self.corrected_by is not None)
