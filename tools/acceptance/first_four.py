"""Scenarios 1 to 4: two steaks, mixed chicken bags, carrots and ribeye, thirty-six hours over the clock change."""

from __future__ import annotations

from datetime import datetime, timedelta

from .asking import PARIS, Ask
from .scenario import Answers, Number, Said, Scenario, clock, come_up, minutes_of, says, task

TUESDAY = datetime(2027, 5, 4, 9, 0, tzinfo=PARIS)
POT = '--vessel "24 cm x 14 cm" --heater "1.1 kW, 9 cm to 12 cm"'
MODEL = (
    "An independent model of conduction (diffusivity 1.30 to 1.45e-7 m²/s, surface 100 to 300 W/(m² K), fridge 4 °C), "
    "made before the planner; finishing times are common practice, no source."
)
_STEAKS = f'sirloin --rules UK --thick "30 mm" --mass "280 g" --pieces 2 --want "55 C" --eat 19:30 {POT}'
_SEVEN_LOG = "fsis-chicken-7log-5pct"

STEAKS = Scenario(
    key="1-two-steaks",
    title="Two steaks on a Tuesday",
    story="Two sirloins, 30 mm and 280 g each, from a fridge at 4 °C; 55 °C wanted; dinner at 19:30. A "
    "pot 24 cm across "
    "and 14 cm deep, a heater of 1.1 kW with marks at 9 and 12 cm, a hot tap of 45 °C. The shop is in Britain, where "
    "sirloin is the striploin of other places.",
    bands_from=MODEL + " Filling and warm-up: arithmetic.",
    now=TUESDAY,
    asks=(
        Ask("plan", f"plan {_STEAKS}"),
        Ask("risk", 'plan "beef striploin" --thick "30 mm" --want "55 C" --eat 19:30 --guests risk'),
        Ask(
            "bath",
            'bath --set "55 C" --bath "2 h" --food "beef striploin" --thick "30 mm" --mass "280 g" --pieces 2 '
            f'--hot-tap "45 C" {POT}',
        ),
        Ask("card", f"card {_STEAKS} --text"),
    ),
    numbers=(
        Number("core within 0.5 °C of the bath", "min", (65, 100), lambda a: come_up(a["plan"].answer)),
        Number(
            "core pasteurised by the beef table, for a guest at risk",
            "min",
            (140, 165),
            lambda a: minutes_of(a["risk"].answer, "fsis-meat-6.5log"),
            why="Ours is later by choice: nothing is credited below the first row of the table, 54.4 °C, and in water "
            "of 55 °C that is a long part of the way. The band's model credits it by extrapolation.",
        ),
        Number("dropped in", "clock", (17.3, 17.7), lambda a: clock(a["plan"].answer["drop_in"])),
        Number("5 L from 15 °C", "min", (11, 15), lambda a: a["bath"].answer["warm_up"]["time_s"]["value"] / 60),
        Number("5 L from the hot tap", "min", (2.5, 4), lambda a: a["bath"].answer["from_hot"]["time_s"]["value"] / 60),
        Number(
            "the steaks raise the water by",
            "cm",
            (1.1, 1.3),
            lambda a: 100 * a["plan"].answer["water"]["fit"]["rise_m"],
        ),
        Number("fill to, at most", "cm", (10.7, 10.9), lambda a: 100 * a["plan"].answer["water"]["fit"]["fill_to_m"]),
    ),
    said=(
        Said("2.8 g of salt for each steak", lambda a: "2.8 g" in task(a["plan"].answer, "salt")["what"]),
        Said(
            "that the core is heated and not pasteurised at that time, and when it would be",
            lambda a: (
                says(a["plan"], "Salmonella at the core", "It would be met")
                and says(a["card"], "Not pasteurised at the core by this plan")
            ),
        ),
        Said("which rule on the surface of intact meat is met", lambda a: says(a["plan"], "3-401.11")),
        Said("that sirloin is two cuts, unless the rules tell which", lambda a: says(a["card"], "striploin")),
    ),
)

_BREASTS = 'batch --food "chicken breast" --want "62 C" --days Tue --done 19:00 --guests risk --thick'


def _seven_log(answers: Answers, thick_mm: int) -> float:
    bags = answers["bags"].answer["bags"] + answers["overlap"].answer["bags"]
    bag = next(b for b in bags if round(1000 * b["thicknesses_m"][0] * b["layers"]) == thick_mm)
    assert bag["bath"]["pasteurised_by"] == _SEVEN_LOG
    return minutes_of(answers[f"plan-{thick_mm}"].answer, _SEVEN_LOG)


def _plan(thick_mm: int) -> Ask:
    return Ask(f"plan-{thick_mm}", f'plan "chicken breast" --thick "{thick_mm} mm" --want "62 C" --eat 19:00')


CHICKEN = Scenario(
    key="2-mixed-chicken",
    title="Mixed chicken bags, and a nervous uncle",
    story="Breasts in bags of 22, 28 and 38 mm, and another bag in which two breasts of 28 mm overlap; a "
    "bath at 62 °C; "
    "a guest who is nervous about it; dinner at 19:00.",
    bands_from=MODEL + " 7-log at the core by the published chicken figures, 27.5 min at 60 °C with z = 6 °C.",
    now=TUESDAY,
    asks=(
        Ask("bags", f'{_BREASTS} "22 mm x2, 28 mm x2, 38 mm x2"'),
        Ask("overlap", f'{_BREASTS} "22 mm x2, 28 mm x2, 38 mm x2, 28 mm x2 overlapping"'),
        *map(_plan, (22, 28, 38, 56)),
    ),
    numbers=(
        Number("7-log at the core, 22 mm", "min", (41, 58), lambda a: _seven_log(a, 22)),
        Number("7-log at the core, 28 mm", "min", (55, 76), lambda a: _seven_log(a, 28)),
        Number("7-log at the core, 38 mm", "min", (83, 110), lambda a: _seven_log(a, 38)),
        Number("7-log at the core, 56 mm", "min", (145, 185), lambda a: _seven_log(a, 56)),
    ),
    said=(
        Said(
            "that the bag of 38 mm sets the time, and the average of 29 mm does not",
            lambda a: a["bags"].answer["runs"][0]["governing"] == 1 and says(a["bags"], "the average piece of 29 mm"),
        ),
        Said(
            "that the overlapping bag is one body, to be laid again flat and apart",
            lambda a: says(a["overlap"], "again flat and apart"),
        ),
        Said(
            "that the thin bags wait inside the window of their texture",
            lambda a: all(b["bath"]["bath_s"] <= b["bath"]["latest_s"] for b in a["bags"].answer["bags"]),
        ),
        Said(
            "one sentence for the uncle, with the table it rests on",
            lambda a: sum("FSIS" in s for s in a["bags"].answer["runs"][0]["statements"]) == 1,
        ),
    ),
)

QUARRY_STREET = """zone = "Europe/Paris"
[[course]]
name = "main"
eat = "20:00"
[[dish]]
name = "carrots"
food = "carrots"
thick = "20 mm"
mass = "60 g"
pieces = "8"
want = "85 C"
[[dish]]
name = "ribeye"
food = "ribeye"
thick = "35 mm"
mass = "350 g"
pieces = "2"
want = "54 C"
ahead = "never"
[[kitchen.baths]]
name = "pot"
vessel = "26 cm x 22 cm"
heater = "1.1 kW, 8 cm to 20 cm"
litres = "10 L"
"""


def _served(answers: Answers, dish: str) -> dict[str, object]:
    plan = next(s for s in answers["menu"].answer["served"] if s["dish"] == dish)["plan"]
    assert isinstance(plan, dict)
    return plan


def _swap(answers: Answers) -> dict[str, object]:
    (swap,) = (c for c in answers["menu"].answer["changes"] if c["to_C"] < c["from_C"])
    assert isinstance(swap, dict)
    return swap


CARROTS = Scenario(
    key="3-carrots-and-ribeye",
    title="Carrots and ribeye from one bath",
    story="Carrots at 85 °C for an hour and ribeyes of 35 mm at 54 °C, one bath of 10 L with 1.1 kW, tap at 15 °C, "
    "dinner at 20:00.",
    bands_from=MODEL + " Warm-up and mixing: arithmetic.",
    now=TUESDAY,
    asks=(
        Ask("menu", "menu quarry-street.toml", {"quarry-street.toml": QUARRY_STREET}),
        Ask("cool", 'plan carrots --thick "20 mm" --want "54 C" --eat 20:00'),
        Ask("steak", 'plan ribeye --thick "35 mm" --want "54 C" --eat 20:00'),
    ),
    numbers=(
        Number("the steak's core within 0.5 °C of the bath", "min", (85, 125), lambda a: come_up(a["steak"].answer)),
        Number("the steak is in", "clock", (17.1, 17.6), lambda a: clock(str(_served(a, "ribeye")["drop_in"]))),
        Number(
            "10 L to 85 °C: 44 min and the losses",
            "min",
            (44, 70),
            lambda a: float(str(_served(a, "carrots")["preheat_s"])) / 60,
        ),
        Number("water to swap for tap water", "L", (4.2, 4.8), lambda a: float(str(_swap(a)["swap_L"]))),
    ),
    said=(
        Said(
            "no to carrots at 54 °C, and which set point softens them",
            lambda a: a["cool"].code == 1 and says(a["cool"], "no softening at 54 °C", "83 °C"),
        ),
        Said(
            "the carrots first, then the swap, then the steak",
            lambda a: (
                str(_served(a, "carrots")["pull"]) <= str(_swap(a)["start"])
                and str(_swap(a)["end"]) <= str(_served(a, "ribeye")["drop_in"])
            ),
        ),
        Said("to wait until it reads below 54.5 °C", lambda a: "54.5 °C" in str(_swap(a)["what"])),
        Said(
            "two set points, and none in between",
            lambda a: (_served(a, "carrots")["set_point_C"], _served(a, "ribeye")["set_point_C"]) == (85.0, 54.0),
        ),
    ),
)

TOTE = '--vessel "40 cm x 30 cm x 20 cm" --heater "1.1 kW, 8 cm to 18 cm" --litres "18 L"'
_RIBS = '"short ribs" --thick "40 mm" --mass "400 g" --pieces 4 --want "57 C"'
_SUNDAY = "2027-10-31 18:30"


def _elapsed(start: str, end: str) -> timedelta:
    return datetime.fromisoformat(end) - datetime.fromisoformat(start)


CLOCKS = Scenario(
    key="4-clocks-go-back",
    title="Thirty-six hours from Friday, and the clocks go back",
    story="Short ribs of 40 mm at 57 °C for 36 h, from Friday 29 October 2027, 18:00, in Paris; dinner on Sunday at "
    "18:30. An open bath of 30 by 40 cm, 18 L. In the night to Sunday the clocks go back.",
    bands_from="An independent model of evaporation: 1.2 to 2.6 mm/h, bags 40 mm under bare after 16 to "
    "33 h. The clock "
    "change: EU directive 2000/84/EC, last Sunday of October. Elapsed hours: arithmetic.",
    now=datetime(2027, 10, 29, 12, 0, tzinfo=PARIS),
    asks=(
        Ask("plan", f'plan {_RIBS} --bath "36 h" --eat "{_SUNDAY}" {TOTE}'),
        Ask("on", f'plan {_RIBS} --bath "49 h" --eat "{_SUNDAY}" {TOTE}'),
        Ask("bath", f'bath --set "57 C" --bath "36 h" --starts "2027-10-29 18:00" {TOTE}'),
        Ask(
            "keep",
            f'batch --food {_RIBS} --bath "36 h" --begin "2027-10-29 17:00" --days Sun --at 18:30 '
            f'--fridge "4 C" {TOTE}',
        ),
        Ask("card", f'card {_RIBS} --bath "36 h" --eat "{_SUNDAY}" {TOTE} --text'),
    ),
    numbers=(
        Number(
            "elapsed in the bath",
            "h",
            (36, 36),
            lambda a: _elapsed(a["plan"].answer["drop_in"], a["plan"].answer["pull"]) / timedelta(hours=1),
        ),
        Number("dropped in on Saturday", "clock", (7.0, 7.5), lambda a: clock(a["plan"].answer["drop_in"])),
        Number(
            "36 h from Friday 18:00 end on Sunday",
            "clock",
            (5, 5),
            lambda a: clock(a["keep"].answer["runs"][0]["ends"]),
        ),
        Number(
            "fall of the open water",
            "mm/h",
            (1.2, 2.6),
            lambda a: 1000 * a["plan"].answer["water"]["night"]["fall_m_h"]["value"],
        ),
        Number(
            "bags bare after", "h", (16, 33), lambda a: a["plan"].answer["water"]["night"]["bare_s"]["value"] / 3600
        ),
        Number(
            "hours this texture usually takes, practice 24 to 72 h",
            "h",
            (24, 72),
            lambda a: a["plan"].answer["window"]["softening_s"] / 3600,
        ),
    ),
    said=(
        Said(
            "that the clocks go back by 1 h, and that the elapsed time counts",
            lambda a: "clocks go back by 1 h" in task(a["plan"].answer, "pull")["what"],
        ),
        Said("to start on Saturday morning instead", lambda a: a["plan"].answer["drop_in"][:10] == "2027-10-30"),
        Said(
            "or to run on from Friday, for 49 h, with what the hours do to the texture",
            lambda a: (
                a["on"].answer["drop_in"][:10] == "2027-10-29"
                and says(a["on"], "inside its usual texture window of 24 h to 3 days")
            ),
        ),
        Said(
            "top-ups of hot water at printed hours, none while people sleep",
            lambda a: (
                bool(a["plan"].answer["water"]["schedule"]["top_ups"])
                and all(7 <= clock(t["at"]) < 23 for t in a["plan"].answer["run_sheet"] if t["key"] == "top-up")
            ),
        ),
        Said(
            "what to do about seams and a power cut, on the card",
            lambda a: says(a["card"], "Seal twice", "Power cut: leave the cover on"),
        ),
    ),
    short=(
        "Pulling on Sunday at 05:00, chilling and warming for 18:30 the same day is not one plan: a "
        "batch takes bags eaten "
        "on the day of cooking straight to the table. `corebath chill` and `corebath reheat` tell the two halves.",
    ),
)
