"""Scenarios 5 to 8: a frozen roast, the hut, a week of lunches, more tender than last time."""

from __future__ import annotations

import re
from datetime import datetime
from html import unescape
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import parse_qsl

from tests.acceptance.test_scenario_8_more_tender import ROWS, Cook

from .asking import PARIS, Ask, Told
from .first_four import MODEL, TUESDAY
from .scenario import Answers, Number, Said, Scenario, clock, come_up, minutes_of, says

_ROAST = 'plan "pork loin" --state frozen --handling rolled --want "60 C" --eat 20:00'
_ROUND, _FLAT = '--shape cylinder --thick "90 mm"', '--shape slab --thick "75 mm"'
_MEAT = "fsis-meat-6.5log"


def _finding(answers: Answers, ask: str, rule: str) -> dict[str, object]:
    found = next(f for f in answers[ask].answer["findings"] if f["rule"] == rule)
    assert isinstance(found, dict)
    return found


ROAST = Scenario(
    key="5-frozen-roast",
    title="A frozen roast, found at 13:00",
    story="A rolled pork loin, round, 90 mm across, at -18 °C, found at 13:00; a bath at 60 °C; dinner "
    "at 20:00. And the "
    "same weight as a flat piece of 75 mm.",
    bands_from="An independent model of thawing and heating; pasteurised there by the 7-log chicken "
    "figures as a strict "
    "stand-in, here by the 6.5-log meat table, which asks for less at 60 °C.",
    now=TUESDAY.replace(hour=13),
    asks=(
        Ask("round", f"{_ROAST} {_ROUND}"),
        Ask("now", f'{_ROAST} {_ROUND} --bath "6 h 15 min"'),
        Ask("flat", f"{_ROAST} {_FLAT}"),
        Ask("rushed", f'{_ROAST} {_FLAT} --bath "6 h 15 min"'),
        Ask("card", f'{_ROAST.replace("plan", "card", 1)} {_ROUND} --bath "6 h 15 min" --text'),
    ),
    numbers=(
        Number(
            "round: core past 0 °C",
            "min",
            (100, 115),
            lambda a: next(t for t in a["round"].answer["run_sheet"] if "thawed" in t["what"])["since_drop_in_s"] / 60,
        ),
        Number("round: pasteurised at the core", "min", (255, 305), lambda a: minutes_of(a["round"].answer, _MEAT)),
        Number("round: core within 0.5 °C of the bath", "min", (295, 365), lambda a: come_up(a["round"].answer)),
        Number("round: in by", "clock", (13.4, 13.6), lambda a: clock(a["round"].answer["alternatives"][0]["drop_in"])),
        Number("flat: pasteurised at the core", "min", (370, 450), lambda a: minutes_of(a["flat"].answer, _MEAT)),
    ),
    said=(
        Said(
            "that the round one fits if it is in by about 13:30, as a piece as measured",
            lambda a: a["now"].code == 0 and a["now"].answer["drop_in"][11:16] == "13:30",
        ),
        Said(
            "that the flat one does not fit, and no offer keeps 20:00",
            lambda a: (
                a["flat"].code == 1
                and a["rushed"].code == 1
                and all(
                    o["request"]["table_time"] > a["flat"].answer["request"]["table_time"]
                    for o in a["flat"].answer["alternatives"]
                )
            ),
        ),
        Said("no flat extra for frozen", lambda a: says(a["round"], "there is no flat extra")),
        Said(
            "how long the core is in the growth band on its way up, and that the limit of 6 h holds",
            lambda a: (
                _finding(a, "now", "fsis-come-up")["verdict"] == "met"
                and "the limit is 6 h" in str(_finding(a, "now", "fsis-come-up")["why"])
            ),
        ),
        Said(
            "that it binds at the core, as the piece is rolled", lambda a: says(a["now"], "because the piece is rolled")
        ),
    ),
    short=(
        "The slowest of twenty such roasts takes 7 h, so the plan as asked is refused and the offer of "
        "13:30 says that a "
        "slow piece is not quite hot through. Every binding rule is met for the slow one too.",
        "When the core passes 54.4 °C is drawn in the chart and checked by the tests (215 min round, "
        "band 190 to 230; 332 "
        "min flat, band 285 to 360); as a number it is printed for the cautious piece alone, in the "
        "finding on holding.",
    ),
)

_POT = '--vessel "24 cm x 14 cm" --heater "1.1 kW, 9 cm to 12 cm"'


def _beetroot(want: str) -> str:
    return f'plan beetroot --thick "50 mm" --mass "150 g" --want "{want}" --eat 20:00 {_POT}'


_RIBEYE = 'plan ribeye --thick "50 mm" --want "57 C" --eat 20:00'

HUT = Scenario(
    key="6-the-hut",
    title="The hut at 2,600 m",
    story="Beetroot at 90 °C, a boiling dip for each bag, and the advice to lengthen everything by a "
    "quarter, in a hut at "
    "2,600 m. The hut's height stands in the gear of the kitchen, which every command reads.",
    bands_from="Boiling near 91.4 °C: the standard atmosphere, computed. Vegetables: common practice, no source.",
    now=TUESDAY,
    altitude_m=2600.0,
    asks=(
        Ask("ninety", _beetroot("90 C")),
        Ask("bath", f'bath --set "85 C" --bath "3 h" {_POT}'),
        Ask("cooler", _beetroot("85 C")),
        Ask("warmer", _beetroot("86 C")),
        Ask("meat", _RIBEYE),
        Ask("sea", _RIBEYE, at_sea=True),
    ),
    numbers=(
        Number("water boils near", "°C", (91.2, 91.6), lambda a: a["bath"].answer["altitude"]["boiling_C"]["value"]),
        Number(
            "highest set point clear of boiling",
            "°C",
            (85, 87),
            lambda a: a["bath"].answer["altitude"]["highest_set_point_C"],
        ),
        Number(
            "ribeye of 50 mm in the bath, more than at sea level",
            "min",
            (0, 0),
            lambda a: (a["meat"].answer["bath_s"] - a["sea"].answer["bath_s"]) / 60,
        ),
    ),
    said=(
        Said(
            "no to 90 °C, with the boiling point and the highest set point",
            lambda a: a["ninety"].code == 2 and says(a["ninety"], "boiling near 91.3 °C", "86.6 °C"),
        ),
        Said(
            "that vegetables take longer at 85 than at 86 °C",
            lambda a: a["cooler"].answer["window"]["ready_s"] > a["warmer"].answer["window"]["ready_s"],
        ),
        Said("that no time is added for altitude", lambda a: says(a["bath"], "no time is added for altitude")),
        Said(
            "that a boiling dip is no hotter than the boiling point, and open water dries up faster",
            lambda a: says(a["bath"], "A boiling dip is no hotter", "dries up faster than at sea level"),
        ),
    ),
    short=(
        "The check of the probe (91.3 °C in boiling water is right there) is on the Gear screen, not in a command.",
    ),
)

_WEEK = """begin = "Sun 14:00"
days = "Mon to Fri"
fridge = "7 C"

[[lot]]
food = "chicken breast"
thick = "38 mm x10"
total = "3.2 kg"
want = "62 C"

[[lot]]
food = "ribeye"
thick = "20 mm"
mass = "250 g"
want = "54 C"
bath = "1 h"
days = "Mon"
"""


def _chicken(answers: Answers) -> list[dict[str, object]]:
    return [b for b in answers["week"].answer["bags"] if b["lot"] == "chicken breast"]


def _reach(part: object, core_C: float) -> float:
    reaches = part["reaches"] if isinstance(part, dict) else part
    assert isinstance(reaches, list)
    return float(next(r for r in reaches if r["core_C"] == core_C)["nominal_s"]) / 60


WEEK = Scenario(
    key="7-week-of-lunches",
    title="A week of lunches",
    story="Ten breasts of 38 mm, 3.2 kg, at 62 °C on Sunday; the fridge measures 7 °C; eaten Monday to "
    "Friday. One steak at "
    "54 °C for an hour is in the same batch.",
    bands_from=MODEL + " Ice: a heat balance.",
    now=datetime(2027, 5, 7, 9, 0, tzinfo=PARIS),
    asks=(
        Ask("week", "batch week.toml", {"week.toml": _WEEK}),
        Ask(
            "alone",
            'batch --food "chicken breast" --thick "38 mm x10" --total "3.2 kg" --want "62 C" '
            '--begin "Sun 14:00" --days "Mon to Fri" --fridge "7 C"',
        ),
        Ask("late", "batch late.toml", {"late.toml": _WEEK.replace('days = "Mon"\n', 'days = "Tue"\n')}),
    ),
    numbers=(
        Number("chill to 21 °C", "min", (27, 42), lambda a: _reach(_chicken(a)[0]["chill"], 21.0)),
        Number("chill to 5 °C", "min", (60, 95), lambda a: _reach(_chicken(a)[0]["chill"], 5.0)),
        Number("chill to 3 °C", "min", (70, 115), lambda a: _reach(_chicken(a)[0]["chill"], 3.0)),
        Number("ice that melts, at least 2.0 kg", "kg", (2.0, 3.0), lambda a: a["alone"].answer["ice"]["melts_kg"]),
        Number("ice to plan, low end", "kg", (3.5, 4.0), lambda a: a["alone"].answer["ice"]["plan_low_kg"]),
        Number(
            "ice to plan, high end",
            "kg",
            (3.5, 4.0),
            lambda a: a["alone"].answer["ice"]["plan_high_kg"],
            why="The high end is for a chill as slow as the cautious one, 130 min, in which the room "
            "melts up to 1.4 kg, "
            "with half of the ice left at the end. The band was reckoned for the usual chill and no room; the low end "
            "lies in it. More ice does no harm, so both ends are printed.",
        ),
        Number("reheat at 60 °C: core at 50 °C", "min", (40, 57), lambda a: _reach(_chicken(a)[2]["reheat"], 50.0)),
    ),
    said=(
        Said(
            "that the fridge is too warm, and freezes Wednesday to Friday",
            lambda a: (
                [b["way"] for b in _chicken(a)] == ["fridge"] * 2 + ["freezer"] * 3 and says(a["week"], "too warm")
            ),
        ),
        Said(
            "by which rule each bag is kept",
            lambda a: all(
                "house rule" in str(b["keep_rule"]["title"])
                for b in _chicken(a)[:2]
                if isinstance(b["keep_rule"], dict)
            ),
        ),
        Said("that the steak was not pasteurised: next day only", lambda a: says(a["week"], "next day only")),
        Said("no to the steak on Tuesday", lambda a: a["late"].code == 1 and not a["late"].answer["works"]),
        Said(
            "on each label the food, the day, the bath, use by and the rule",
            lambda a: all(
                b["label"]["title"] and b["label"]["cooked"] and b["label"]["use_by"] and b["label"]["rule"]
                for b in a["week"].answer["bags"]
            ),
        ),
    ),
    short=(
        "The command leaves with code 1: the rule on cold holding, 5 °C, is not met by this fridge, and it is binding.",
    ),
)


def _next_time() -> Answers:
    """The three cooks through the pages, and what the last one's page then says of the next time."""
    with TemporaryDirectory() as folder:
        cook = Cook(Path(folder))
        for number, (set_point, hours, note) in enumerate(ROWS, start=1):
            cook.cook(number, set_point, hours, note)
        page = cook.phone.get("/log/3").text.split('id="next-head"', 1)[1].split("</section>", 1)[0]
        cook.store.close()
    link = re.search(r'href="/\?([^"]+)"', unescape(page))
    assert link is not None
    page = page.partition("What it rests on")[0]
    text = unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.split(">", 1)[1]))).strip()
    return {"next": Told(0, text, dict(parse_qsl(link[1])))}


def _hours(text: str) -> float:
    """Hours [h] of a time as it is typed: "36 h 2 min", "2162 min"."""
    return sum(int(n) / (1 if unit == "h" else 60) for n, unit in re.findall(r"(\d+) (h|min)", text))


def _leading(text: str) -> float:
    found = re.match(r"[0-9.]+", text)
    assert found is not None
    return float(found[0])


TENDER = Scenario(
    key="8-more-tender",
    title="More tender than last time",
    story="Three chucks of 45 mm in the log, each with a note. 55 °C for 24 h: “chewy, juicy”. 55 °C for "
    "36 h: “better, "
    "bit dry edges”. 60 °C for 24 h: “soft but grey”. Wanted: tender and pink.",
    bands_from="The scenario's own example of a good answer: 56 to 57 °C for 36 to 40 h, with low confidence.",
    now=TUESDAY,
    asks=(),
    pages=(
        "Plan each chuck on the Plan screen and tap Start cooking.",
        "In the Kitchen: Dropped in, and a day later Pulled; then End the cook.",
        "In the Log: write the note into its blank. It is read into ratings, which can be corrected.",
        "Open the last one: Next time stands at its end, with a link to the plan.",
    ),
    by_pages=_next_time,
    numbers=(
        Number("set point proposed", "°C", (56, 57), lambda a: _leading(a["next"].answer["want"])),
        Number("hours proposed", "h", (36, 40), lambda a: _hours(a["next"].answer["bath"])),
    ),
    said=(
        Said(
            "that it rests on three rated cooks, of different animals",
            lambda a: says(a["next"], "three rated cooks", "different animals"),
        ),
        Said("that its confidence is low", lambda a: bool(re.search(r"\blow\b", a["next"].text, re.IGNORECASE))),
        Said("one change, and when to stop", lambda a: says(a["next"], "Stop if")),
        Said(
            "a question: may the dry edges come from the sear?",
            lambda a: bool(re.search(r"dry.*sear[^.]*\?", a["next"].text, re.IGNORECASE)),
        ),
    ),
    short=("The log has no command: it is kept in the browser. `corebath store export` writes it as a file.",),
)
