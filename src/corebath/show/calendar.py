"""A run sheet as a calendar file (iCalendar, RFC 5545): what to do when, with alarms, in the cook's time zone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from icalendar import Alarm, Calendar, Event

from corebath import __version__
from corebath.data_files import read_toml
from corebath.plan.ahead import days_ahead
from corebath.plan.data import pace_of
from corebath.plan.menu.answer import MenuTask
from corebath.plan.plan import Plan
from corebath.plan.run_sheet import Task
from corebath.units import METRIC, Preference, render

from .calendar_zone import zone_component
from .handed import only_working
from .words import capital, food_words, signed_duration

_TITLES = {
    "thaw": "thaw",
    "buy-ice": "ice",
    "salt": "salt",
    "preheat": "preheat",
    "ice": "into ice water",
    "drop-in": "drop in",
    "top-up": "top up the water",
    "check": "look in",
    "pull": "pull",
    "dry": "open the bag and dry",
    "finish": "finish",
    "rest": "rest",
    "serve": "serve",
    "leftovers": "leftovers",
    "change": "change the bath's temperature",
    "chill": "into ice water",
    "fridge": "into the fridge",
    "reheat": "reheat",
    "reheat-out": "out of the reheating bath",
}
_LONGEST_DURATION_s = 86_400  # a calendar counts longer ones in days, which a change of the clocks stretches


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a calendar.

    key : as `run_sheet.Task.key`;  at : when;  about : the food or dishes, "" for none
    what : in full, quantities as marks;  since : elapsed time in words, "" for none;  lasts_s : None when not known [s]
    """

    key: str
    at: datetime
    about: str
    what: str
    since: str = ""
    lasts_s: float | None = None


def plan_calendar(
    plan: Plan, stamp: datetime, preference: Preference = METRIC, *, tasks: Iterable[Task] | None = None
) -> bytes:
    """The tasks of a plan, and what to do on the days before, as the bytes of an .ics file.

    stamp : when it is written, with a zone;  tasks : the run sheet where more is known of it than in the plan
    The same question gives the same UIDs, so that a file read twice does not double the entries.
    Raises ValueError for a plan that does not work.
    """
    only_working(plan)
    request, pace = plan.request, pace_of(plan.request.food.texture)
    name = capital(food_words(request))
    lasts = {"preheat": plan.preheat_s, "dry": pace.dry_s, "finish": pace.sear_s, "rest": pace.rest_s}
    sheet = (*days_ahead(plan), *(plan.run_sheet if tasks is None else tasks))
    wish = (request.result and request.result.key, request.set_point_C, request.bath_s, request.pieces)
    seed = f"{request.food.key} {request.body} {wish} {request.table_time.astimezone(UTC).isoformat()}"
    entries = [Entry(t.key, t.at, name, t.what, _since(t), lasts.get(t.key)) for t in sheet if t.is_action]
    return entries_calendar(name, entries, request.zone, stamp, preference, seed=seed)


def tasks_calendar(
    name: str,
    tasks: Iterable[MenuTask],
    zone: ZoneInfo,
    stamp: datetime,
    preference: Preference = METRIC,
    *,
    lasts_s: Mapping[str, float] | None = None,
) -> bytes:
    """The tasks of a menu or a batch as the bytes of an .ics file.

    name : of the whole, one line;  lasts_s : how long a task of a key takes, where that is known [s]
    Its UIDs hold as long as the name and the last task's time stay. Raises ValueError without a task.
    """
    known = lasts_s or {}
    entries = [Entry(t.key, t.at, ", ".join(t.dishes), t.what, t.where, known.get(t.key)) for t in tasks if t.is_action]
    if not entries:
        raise ValueError("a calendar needs a task, and there is none")
    seed = f"{name} {max(entry.at for entry in entries).astimezone(UTC).isoformat()}"
    return entries_calendar(name, entries, zone, stamp, preference, seed=seed)


def entries_calendar(
    name: str, entries: Iterable[Entry], zone: ZoneInfo, stamp: datetime, preference: Preference, *, seed: str
) -> bytes:
    """Entries as the bytes of an .ics file. seed : entries of the same seed, key and place keep their UID

    Raises ValueError without an entry.
    """
    listed = sorted(entries, key=lambda entry: entry.at.astimezone(UTC))
    if not listed:
        raise ValueError("a calendar needs a task, and there is none")
    settings = read_toml("corebath.show", "calendar.toml")
    calendar = Calendar()
    calendar.add("prodid", f"-//corebath//corebath {__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("name", name)
    if zone.key != "UTC":
        margin = timedelta(days=settings["zone"]["days_around"])
        calendar.add_component(zone_component(zone, listed[0].at, listed[-1].at, margin))
    counts: Counter[str] = Counter()
    for entry in listed:
        counts[entry.key] += 1
        uid = uuid5(NAMESPACE_URL, f"corebath:{seed} {entry.key} {entry.about} {counts[entry.key]}")
        calendar.add_component(_event(entry, zone, str(uid), stamp, preference, settings["before"]))
    written = calendar.to_ical()
    assert isinstance(written, bytes)
    return written


def _since(task: Task) -> str:
    return f"{signed_duration(task.since_drop_in_s)} from drop-in" if round(task.since_drop_in_s) else ""


def _event(
    entry: Entry, zone: ZoneInfo, uid: str, stamp: datetime, preference: Preference, before: Mapping[str, object]
) -> Event:
    said = render(entry.what, preference)
    title = _TITLES.get(entry.key, said.split(". ")[0].rstrip("."))
    title = f"{capital(entry.about)}: {title}" if entry.about else capital(title)
    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", stamp.astimezone(UTC).replace(microsecond=0))
    event.add("dtstart", _told(entry.at, zone))
    if entry.lasts_s and entry.lasts_s < _LONGEST_DURATION_s:
        event.add("duration", timedelta(seconds=round(entry.lasts_s)))
    event.add("summary", title)
    event.add("description", f"{said} ({entry.since})" if entry.since else said)
    event.add("transp", "TRANSPARENT")
    leads = [0.0]
    keys, seconds = before["keys"], before["seconds"]
    assert isinstance(keys, list)
    assert isinstance(seconds, int)
    if entry.key in keys:
        leads.append(float(seconds))
    for lead_s in leads:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("trigger", timedelta(seconds=-lead_s))
        alarm.add("description", title if lead_s == 0 else f"In {lead_s / 60:.0f} min: {title}")
        event.add_component(alarm)
    return event


def _told(moment: datetime, zone: ZoneInfo) -> datetime:
    """By the cook's clock, to the minute as the run sheet shows it.

    In UTC where that clock comes twice, since a calendar then means the first.
    """
    here = moment.astimezone(zone).replace(second=0, microsecond=0)
    twice = here.replace(fold=0).utcoffset() != here.replace(fold=1).utcoffset()
    return here.astimezone(UTC) if twice else here
