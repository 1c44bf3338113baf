"""The words of a chart poster: what letters, signs and steps mean, what the times rest on, and what to beware of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from corebath.food.files import sources
from corebath.plan.data import defaults, spreads
from corebath.plan.sweep import Ruled, Times, heat_rules
from corebath.safety.authority import profile
from corebath.safety.finding import Verdict
from corebath.safety.rule import Rule
from corebath.units import Preference, mark, render

from .as_text import cautions_asked
from .words import capital

_ONCE = {
    Verdict.MET: "met in every cell with a time",
    Verdict.NOT_MET: "not met in any cell",
    Verdict.NOT_KNOWN: "not known in any cell, since the table ends with the bath, or the rule asks what is not given",
}


@dataclass(frozen=True, slots=True)
class Key:
    """One entry of the key. sign : as it stands in a cell;  text : what it means;  binding : a rule that binds"""

    sign: str
    text: str
    binding: bool = False


def letters_of(times: Times) -> dict[str, str]:
    """A letter for every rule, in the order of the rules."""
    return {rule.key: chr(ord("A") + i) for i, rule in enumerate(times.rules)}


def key_of(times: Times, letters: dict[str, str], told: dict[str, Verdict], preference: Preference) -> tuple[Key, ...]:
    """The key: signs first, then every rule with its letter, its source, and what is the same in all cells."""
    return (*_signs(times, preference), *(_rule(times, rule, letters, told, preference) for rule in times.rules))


def _signs(times: Times, preference: Preference) -> Iterator[Key]:
    cells = [cell for row in times.rows for cell in row]
    within = render(mark(defaults()["come_up"]["within_K"], "K"), preference)
    share = 100 * spreads()["sampling"]["cautious_share"]
    yield Key(
        "1:50",
        f"Time in the bath from drop-in, hours and minutes: by then {share:.0f} % of such pieces are hot through, as "
        "soft as is usual, and treated by the rules that bind.",
    )
    if any(cell.result is not None for cell in cells):
        yield Key("to 4:00", "Last time that the usual texture, by common practice, and the rules that bind allow.")
    yield Key(
        "1:25–1:45", f"Hot through, core within {within} of the bath: a piece as measured, and the slowest in twenty."
    )
    yield Key("§", "A heat rule that binds sets the time.")
    if any(cell.softening_s != 0 for cell in cells):
        yield Key("≈", "Softening sets the time, by common practice.")
        yield Key("≈?", "How long it takes to soften is not known at this set point: it is hot, not tender.")
    yield Key("–", "Never: no time is offered, or the rule gives no credit at this set point.")
    yield Key(
        "A 1:15",
        "Rule A has its whole treatment by then, in the slowest piece in twenty; where that is later than the time in "
        "the bath, the rule is not met by that time.",
    )
    yield Key("F  F!  F?", "Rule F at the time in the bath: met, not met, not known. A bold letter binds.")


def _rule(times: Times, rule: Rule, letters: dict[str, str], told: dict[str, Verdict], preference: Preference) -> Key:
    binds = _binds(times, rule)
    said = f"{capital(rule.title)} ({rule.authority}; {binds})"
    if rule in heat_rules(times.rules):
        said += ": its time stands in every cell."
    elif rule.key in told:
        said += f": {_ONCE[told[rule.key]]}."
    elif _said_of(times, rule):
        said += ": see the cells."
    else:
        said += ": no cell has a time to judge it at."
    assumed = f" Assumed: {' '.join(rule.assumptions)}" if rule.assumptions else ""
    return Key(letters[rule.key], render(f"{said}{assumed} [{rule.source}]", preference), binds.startswith("binds"))


def _said_of(times: Times, rule: Rule) -> list[Ruled]:
    return [v for row in times.rows for cell in row for v in cell.verdicts if v.rule == rule.key]


def _binds(times: Times, rule: Rule) -> str:
    """Whether a rule binds: some rules do only where the food takes the way they are meant for."""
    said = [v.binding for v in _said_of(times, rule)]
    if not rule.binding:
        return "reported, not binding"
    if said and not any(said):
        return "does not bind in these cells"
    return "binds" if all(said) else "binds in some cells"


def no_times_words(times: Times) -> str:
    """Why no time is offered at all set points of a table that need a cold start; "" where there is another reason."""
    like = times.sweep.like
    for rule in times.rules:
        if rule.check != "time-control" or like.from_C <= rule.figures["low_C"]:
            continue
        cool = [c for row in times.rows for c in row if c.set_point_C < rule.figures["high_C"]]
        if cool and all(rule.key in cell.broken for cell in cool):
            return (
                f"Below {mark(rule.figures['high_C'], 'C')} no time is offered: the food starts at "
                f"{mark(like.from_C, 'C')}, above the limit of {mark(rule.figures['low_C'], 'C')} for cold holding."
            )
    return ""


def notes_of(times: Times, preference: Preference) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Cautions, and what the times rest on."""
    like = times.sweep.like
    cautions = [c.text for c in cautions_asked(like) if {"always", "cook"} & set(c.where)]
    found = (
        ("Beware", (*cautions, *like.food.cautions)),
        ("What the times rest on", tuple(_basis(times))),
    )
    return tuple((head, tuple(render(line, preference) for line in lines)) for head, lines in found)


def _basis(times: Times) -> Iterator[str]:
    like, data = times.sweep.like, spreads()
    food, whose = like.food, profile(like.authority)
    start_K, bath_K = mark(data["start"]["absolute_K"], "K"), mark(data["set_point"]["absolute_K"], "K")
    yield (
        f"Rules: {whose.name} ({whose.bodies}). {whose.note} A rule that is met is met as printed, under what is "
        "assumed; your local food code comes first."
    )
    yield (
        f"Each cell is a plan of its own: heat by conduction in the body named above, sides that were not measured "
        f"counting as endless, in a stirred bath that holds its set point; {100 * food.composition.water:.0f} % water, "
        f"{100 * food.composition.fat:.0f} % fat ({sources().get(food.composition_source, food.composition_source)}), "
        "properties of the components by Choi and Okos 1986."
    )
    yield (
        f"Spread, one standard deviation: thickness {100 * data['thickness']['relative']:.0f} %, diffusivity "
        f"{100 * data['diffusivity']['relative']:.0f} %, surface coefficient {data['surface']['h_W_m2K']:.0f} W/m²K "
        f"within {100 * data['surface']['relative']:.0f} %, start {start_K}, set point {bath_K}."
    )
    results = {cell.result.words: cell.result for row in times.rows for cell in row if cell.result is not None}
    bands = "; ".join(f"{r.words} {mark(r.low_C, 'C')} to {mark(r.high_C, 'C')}" for r in results.values())
    if bands:
        said = ", ".join(dict.fromkeys(r.source for r in results.values()))
        yield f"Names of results and their times are those of cooks ({said}): {bands}."


def steps_words() -> str:
    """How the times of the table are rounded."""
    return (
        "Times are rounded up: to the minute below an hour, to five minutes below a day, to the hour above; last "
        "times are rounded down."
    )
