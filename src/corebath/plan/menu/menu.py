"""A menu as asked: dishes, courses and what the kitchen has to cook them with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time
from enum import StrEnum
from zoneinfo import ZoneInfo

from corebath.plan.equipment import Equipment
from corebath.plan.request import Request


class Ahead(StrEnum):
    """Whether a dish may be cooked ahead, chilled and reheated."""

    MAY = "may"
    NEVER = "never"
    MUST = "must"


@dataclass(frozen=True, slots=True)
class Course:
    """One table time. name : such as "main";  at : with a zone"""

    name: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Dish:
    """One food of the menu.

    name : unique in the menu;  course : name of its course
    request : what it is, how it is wanted and who eats; its table time is the course's, and it has no equipment yet
    ahead : whether it may be cooked ahead, chilled and reheated
    """

    name: str
    course: str
    request: Request
    ahead: Ahead = Ahead.MAY


@dataclass(frozen=True, slots=True)
class MenuBath:
    """A vessel with its heater, cover and water. name : unique in the menu"""

    name: str
    equipment: Equipment


@dataclass(frozen=True, slots=True)
class Menu:
    """Everything the cook asks of one dinner.

    courses, dishes, baths : at least one of each, names unique among their kind
    pans : hot surfaces for searing, 1 to 8;  hands : cooks at work, 1 to 4
    now : nothing can be asked of the cook before it;  zone : the cook's own
    asleep : begin and end of the night by the cook's clock, in which nothing is asked of the cook; None for never
    """

    courses: tuple[Course, ...]
    dishes: tuple[Dish, ...]
    baths: tuple[MenuBath, ...]
    now: datetime
    zone: ZoneInfo
    pans: int = 1
    hands: int = 1
    asleep: tuple[time, time] | None = None
