"""Understanding a menu: from its rows as typed to a menu, or to one sentence for each answer that is not clear."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from corebath.log.gear import Kitchen
from corebath.plan.menu.menu import Ahead, Course, Dish, Menu, MenuBath
from corebath.plan.water import usual_night
from corebath.safety.authority import Authority
from corebath.units import Ambiguous, NotUnderstood, Preference, TemperatureUnit

from .bath import parse_night
from .degrees import UNITS, parse_degrees
from .equipment import equipment_of
from .menu_question import DISH, KINDS, Kind, MenuQuestion, Row
from .question import Question, short
from .restate import spelt
from .understand import Misunderstood, Reader, understand
from .when import parse_ahead, parse_zone
from .when_words import days_of

FEWEST_DISHES, MOST_DISHES = 2, 12
MOST_COURSES, MOST_BATHS = 6, 4
MOST_PANS, MOST_HANDS = 8, 4
NEVER = "never"
_COURSE, _DISH, _BATH = KINDS
_LONGEST_NAME = 40
_HALF_A_DAY = timedelta(hours=12)


def menu_preference(question: MenuQuestion, kitchen: Kitchen) -> Preference:
    """The units to show: the question's, or the kitchen's when it names none or none that exists."""
    return UNITS.get(question.units, kitchen.preference)


def understand_menu(question: MenuQuestion, now: datetime, kitchen: Kitchen) -> Menu:
    """The menu a question means.

    now : the moment of asking, with a zone
    Raises Misunderstood with every answer that is not clear at once, under its name in an address ("d2.thick").
    """
    reader = _Menu(question, now, kitchen)
    courses = reader.courses()
    dishes, baths = tuple(reader.dishes(courses)), tuple(reader.baths())
    pans = reader.count("pans", "a number of pans", MOST_PANS)
    hands = reader.count("hands", "a number of pairs of hands", MOST_HANDS)
    night = reader.night()
    if reader.sentences:
        raise Misunderstood(reader.sentences, reader.choices)
    return Menu(
        courses=tuple(Course(name, at) for name, at in courses.items() if at is not None),
        dishes=dishes,
        baths=baths,
        now=now,
        zone=reader.zone,
        pans=pans,
        hands=hands,
        asleep=night,
    )


def course_times(question: MenuQuestion, now: datetime, kitchen: Kitchen) -> MenuQuestion:
    """The question with its table times spelt out, so that its address means the same tomorrow."""
    reader = _Menu(question, now, kitchen)
    times = reader.times()
    if not question.courses or "zone" in reader.sentences or any(at is None for at in times):
        return question
    rows = tuple(row.changed(eat=spelt(at)) for row, at in zip(question.courses, times, strict=True) if at is not None)
    return replace(question, courses=rows, zone=reader.zone.key)


def dish_question(question: MenuQuestion, row: Row, eat: str, zone: ZoneInfo) -> Question:
    """The question of one dish by itself, as the Plan screen asks it; no bath is named yet."""
    given = {name: value for name, value in row.given().items() if name in DISH and name in Question.names()}
    given["guests"] = row.guests or question.guests
    return Question(**given).changed(eat=eat, zone=zone.key, rules=question.rules, units=question.units)


class _Menu:
    """Reads one menu, and keeps a sentence for each answer that is not clear."""

    def __init__(self, question: MenuQuestion, now: datetime, kitchen: Kitchen) -> None:
        self.question, self.now, self.kitchen = question, now, kitchen
        self.sentences: dict[str, str] = {}
        self.choices: dict[str, tuple[str, ...]] = {}
        top = Reader(Question(zone=question.zone, rules=question.rules, units=question.units,
                              guests=question.guests), kitchen)  # fmt: skip
        self.zone = top.read("zone", parse_zone) or kitchen.zone
        top.choice("rules", Authority, str.upper)
        top.flag("guests", "risk")
        top.check("units", question.units, tuple(UNITS))
        self.preference = top.preference
        self._take(top)
        self._measure(top.degree)
        # Each dish is asked with what is clear of the whole, so that one mistake is told once.
        unclear: dict[str, Any] = dict.fromkeys(top.sentences, "")
        self.shared = replace(question, **unclear)

    def courses(self) -> dict[str, datetime | None]:
        """Table times by the name of the course; None for one that is not clear."""
        if not 1 <= len(self.question.courses) <= MOST_COURSES:
            self.sentences["c1.eat"] = (
                "say when you eat: a menu has at least one course with its table time, such as Sat 19:30"
                if not self.question.courses
                else f"a menu can have {MOST_COURSES} courses at most"
            )
        names = self._names(_COURSE, self.question.courses, "")
        return dict(zip(names, self.times(), strict=True))

    def times(self) -> list[datetime | None]:
        """When each course is on the table. A time without a day is that nearest to the course that names one."""
        rows = self.question.courses
        first = next((i for i, row in enumerate(rows) if days_of(row.eat).names_day), 0)
        order = sorted(range(len(rows)), key=lambda i: i != first)
        found: list[datetime | None] = [None] * len(rows)
        for i in order:
            text, anchor = rows[i].eat, found[first] if i != first else None
            near = anchor if anchor is not None and not days_of(text).names_day else None
            try:
                if not text:
                    raise NotUnderstood("say when it is on the table: a time such as 19:30, or a day and a time")
                at = parse_ahead(text, self.now, self.zone, near=None if near is None else near - _HALF_A_DAY)
                if at <= self.now:
                    raise NotUnderstood("the table time has passed already; choose one that lies ahead")
                found[i] = at
            except NotUnderstood as error:
                self._tell(_COURSE, i, " ".join(rows[i].name.split()) or f"course {i + 1}", "eat", str(error))
        return found

    def dishes(self, courses: dict[str, datetime | None]) -> Iterator[Dish]:
        """The dishes that are clear. courses : table times by name"""
        rows = self.question.dishes
        if not FEWEST_DISHES <= len(rows) <= MOST_DISHES:
            self.sentences["d1.food" if not rows else f"d{len(rows)}.name"] = (
                f"a menu has {FEWEST_DISHES} to {MOST_DISHES} dishes, and this one has {len(rows)}; "
                "a single food is planned on the Plan screen, or with corebath plan"
            )
        for i, (row, name) in enumerate(zip(rows, self._names(_DISH, rows, "food"), strict=True)):
            course = self._course(i, name, row.course, tuple(courses))
            ahead = self._ahead(i, name, row.ahead)
            eat = courses.get(course) or self.now + timedelta(days=1)
            bare = replace(self.kitchen, vessels=(), heaters=())
            try:
                request = understand(dish_question(self.shared, row, spelt(eat), self.zone), self.now, bare)
            except Misunderstood as error:
                for field, sentence in error.sentences.items():
                    if field == "eat":  # its course says when
                        self._tell(_COURSE, list(courses).index(course) if course else 0, course, field, sentence)
                    else:
                        self._tell(_DISH, i, name, field, sentence)
                self.choices |= {f"d{i + 1}.{field}": accepted for field, accepted in error.choices.items()}
            else:
                yield Dish(name, course, request, ahead)

    def baths(self) -> Iterator[MenuBath]:
        """The baths that are clear; without a row the usual one of the kitchen."""
        rows = tuple(self._called(row) for row in self.question.baths or (Row(),))
        if len(rows) > MOST_BATHS:
            self.sentences[f"b{len(rows)}.name"] = f"a menu can have {MOST_BATHS} baths at most"
        used: dict[tuple[str, str], str] = {}
        for i, (row, name) in enumerate(zip(rows, self._names(_BATH, rows, "name"), strict=True)):
            wrong: dict[str, str] = {}
            for field, owned in (
                ("vessel", self.kitchen.vessel(row.vessel)),
                ("heater", self.kitchen.heater(row.heater)),
            ):
                if owned is None:
                    continue
                other = used.setdefault((field, owned.name), name)
                if other != name:
                    wrong[field] = (
                        f"the {field} {owned.name} is in {other} already: name another one of this kitchen, or type "
                        + ("inner sizes, such as 24 cm x 14 cm" if field == "vessel" else "power and marks")
                    )
            equipment = equipment_of(row, self.kitchen, self.preference, wrong)
            if equipment is None and not wrong:
                wrong["vessel"] = (
                    "say which vessel and which heater, such as 24 cm x 14 cm and 1.1 kW, 9 cm to 12 cm; "
                    "the Gear screen keeps them"
                )
            for field, sentence in wrong.items():
                self._tell(_BATH, i, name, field, sentence)
            if equipment is not None:
                yield MenuBath(name, equipment)

    def _measure(self, degree: TemperatureUnit | None) -> None:
        """The kitchen with the fridge as measured for this menu. degree : of a bare number"""
        if not self.question.fridge:
            return
        try:
            self.kitchen = replace(self.kitchen, fridge_C=parse_degrees("fridge", self.question.fridge, degree))
        except ValueError as error:
            self.sentences["fridge"] = str(error)
            if isinstance(error, Ambiguous):
                self.choices["fridge"] = error.choices

    def _called(self, row: Row) -> Row:
        """A bath without a name is called after its vessel, where the kitchen has a name for that."""
        owned = self.kitchen.vessel(row.vessel)
        return row if row.name or owned is None else row.changed(name=owned.name)

    def count(self, field: str, what: str, most: int) -> int:
        """A whole number from 1 on."""
        text = getattr(self.question, field)
        if not text:
            return 1
        if not (text.isascii() and text.isdigit() and len(text) <= 4 and 1 <= int(text) <= most):
            self.sentences[field] = f"{short(text)!r} is not {what}: type a whole number from 1 to {most}"
            return 1
        return int(text)

    def night(self) -> tuple[time, time] | None:
        """Hours in which nothing is asked of the cook: as usual when not told."""
        text = self.question.asleep
        if not text:
            return usual_night()
        if text.lower() == NEVER:
            return None
        try:
            begins, ends = parse_night(text)
        except NotUnderstood as error:
            self.sentences["asleep"] = f"{error}, or {NEVER}"
            return None
        if begins == ends:
            self.sentences["asleep"] = f"a night of 24 hours leaves no time to cook: type its begin and end, or {NEVER}"
        return begins, ends

    def _course(self, i: int, name: str, asked: str, known: tuple[str, ...]) -> str:
        if not asked and len(known) == 1:
            return known[0]
        found = next((course for course in known if course.casefold() == asked.casefold()), None)
        if found is None and known:
            said = f"{short(asked)!r} is no course of this menu" if asked else "say which course it belongs to"
            self._tell(_DISH, i, name, "course", f"{said}: accepted are {', '.join(known)}")
            self.choices[f"d{i + 1}.course"] = known
        return found or ""

    def _ahead(self, i: int, name: str, text: str) -> Ahead:
        folded, known = text.lower(), tuple(a.value for a in Ahead)
        if folded and folded not in known:
            self._tell(
                _DISH, i, name, "ahead", f"{short(text)!r} is no answer for ahead: accepted are {', '.join(known)}"
            )
            self.choices[f"d{i + 1}.ahead"] = known
            return Ahead.MAY
        return Ahead(folded) if folded else Ahead.MAY

    def _names(self, kind: Kind, rows: tuple[Row, ...], otherwise: str) -> list[str]:
        """A name of its own for every row: as typed, or after what it is, or by its number."""
        typed = [row.name.casefold() for row in rows if row.name]
        names: list[str] = []
        for i, row in enumerate(rows):
            number = f"{kind.word} {i + 1}"
            if row.name:
                wrong = self._wrong_name(row.name, kind, typed)
                if wrong:
                    self._tell(kind, i, number, "name", wrong)
                names.append(number if wrong else row.name)
                continue
            told = getattr(row, otherwise)[:_LONGEST_NAME] if otherwise else ""
            base = told if told and not self._wrong_name(told, kind, []) else number
            again = (f"{base[: _LONGEST_NAME - 3]} {count}" for count in range(2, 100))
            names.append(next(n for n in (base, *again) if n.casefold() not in typed and n not in names))
        return names

    def _wrong_name(self, name: str, kind: Kind, typed: list[str]) -> str:
        """What is wrong with a name, empty when nothing is."""
        if not name.isprintable() or len(name) > _LONGEST_NAME or set(name) & set("{}|"):
            return f"{short(name)!r} is no name: type up to {_LONGEST_NAME} letters, without braces"
        return f"another {kind.word} is called {name} already" if typed.count(name.casefold()) > 1 else ""

    def _tell(self, kind: Kind, i: int, name: str, field: str, sentence: str) -> None:
        """Keep a sentence about a row, with the row named."""
        second = sentence[1:2]
        said = sentence[:1].lower() + sentence[1:] if second.islower() or second == " " else sentence
        self.sentences.setdefault(f"{kind.letter}{i + 1}.{field}", f"{name}: {said}")

    def _take(self, reader: Reader) -> None:
        self.sentences |= reader.sentences
        self.choices |= reader.choices
