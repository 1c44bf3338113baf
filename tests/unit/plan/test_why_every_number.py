"""Why every number: each line that tells one has its reason, no text is empty, and no source is retyped."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from tests.unit.plan.planning import asked, body_of, foods, planned, slab
from tests.unit.plan.test_batch_plan import chicken
from tests.unit.show.show_menus import NAMES as MENUS
from tests.unit.show.show_menus import menu_of
from tests.unit.show.show_plans import NAMES, plan_of

import corebath
from corebath.data_files import read_rows, read_toml
from corebath.food.catalogue import catalogue
from corebath.log.estimate import estimate
from corebath.log.estimate_why import estimate_whys
from corebath.outcome.results import results_for
from corebath.plan.ends import Ends, make_ends
from corebath.plan.piece import piece_of
from corebath.plan.plan import Plan
from corebath.plan.why.batch import batch_whys
from corebath.plan.why.lines import lines_of
from corebath.plan.why.menu import menu_whys
from corebath.plan.why.whole import ends_whys, plan_whys
from corebath.plan.why.why import Origin, Told, Why, citation, why
from corebath.safety.finding import Finding
from corebath.units import METRIC, US, mark, render

ROOMS = Path(corebath.__file__).parent
FIGURE = re.compile(r"\d")


@cache
def ends_of(name: str) -> Ends:
    return make_ends(plan_of(name))


@cache
def whys_of(name: str) -> tuple[Why, ...]:
    plan = plan_of(name)
    return (*plan_whys(plan), *ends_whys(plan, ends_of(name)))


def _sound(whys: tuple[Why, ...]) -> None:
    """What holds for the reasons of any answer."""
    keys = [one.key for one in whys]
    assert len(set(keys)) == len(keys), sorted(key for key in keys if keys.count(key) > 1)
    for one in whys:
        assert re.fullmatch(r"[a-z0-9.-]+", one.key), one.key
        for text in (one.of, one.value, one.model, one.source, one.spread):
            assert text.strip(), one.key
            assert "None" not in text.replace("None:", "").replace("None of its own", ""), (one.key, text)
            assert not re.search(r"\bnan\b|\binf\b", text), (one.key, text)
        assert not re.search(r"\{[^{}]*\|", render(one.value + one.spread + one.model, US))
        assert one.source != "common practice"
        for given in one.inputs:
            assert given.name.strip(), one.key
            assert given.value.strip(), one.key
            assert given.see == "" or given.see in keys, (one.key, given.see)
            assert given.see != one.key, one.key
            assert given.see == "" or given.origin is Origin.RECKONED, (one.key, given.name)


@pytest.mark.parametrize("name", NAMES)
def test_every_number_of_a_plan_has_its_reason(name: str) -> None:
    plan, whys = plan_of(name), whys_of(name)
    _sound(whys)
    keys = {one.key for one in whys}
    lines = tuple(lines_of(plan, ends_of(name)))
    assert lines
    assert {key for line, key in lines if FIGURE.search(line)} <= keys
    assert {"set-point", "come-up", "ready", "latest", "bath-time", "preheat", "drop-in", "pull", "serve"} <= keys


@pytest.mark.parametrize("name", NAMES)
def test_no_line_with_a_figure_is_left_out_of_the_walk(name: str) -> None:
    plan, ends = plan_of(name), ends_of(name)
    walked = {line for line, _ in lines_of(plan, ends)}
    assert {f.why for f in plan.findings} <= walked
    assert {e.words for e in plan.outcome} <= walked
    told = [*ends.kept.statements]
    told += [] if plan.water is None else [*plan.water.statements, *plan.water.details]
    told += [] if ends.salted is None else [*ends.salted.statements]
    told += [] if ends.seared is None else [*ends.seared.statements]
    # A look into the bath is asked for by the clock alone, and tells no figure.
    told += [task.what for task in plan.run_sheet if FIGURE.search(task.what)]
    assert set(told) <= walked


def _one_food_of_each_texture() -> list[str]:
    first = {catalogue()[key].texture: key for key in reversed(foods())}
    return sorted(first.values())


@pytest.mark.parametrize("key", _one_food_of_each_texture())
def test_every_kind_of_food_is_explained(key: str) -> None:
    food = catalogue()[key]
    for result in (results_for(food.texture)[0], results_for(food.texture)[-1]):
        plan = planned(key, body_of(food, 0.04), result=result, hours=96.0)
        whys = plan_whys(plan)
        _sound(whys)
        assert {key for line, key in lines_of(plan, None) if FIGURE.search(line)} <= {one.key for one in whys}


@pytest.mark.parametrize("name", MENUS)
def test_a_menu_tells_its_weights_and_what_is_proved(name: str) -> None:
    plan = menu_of(name)
    whys = menu_whys(plan)
    _sound(whys)
    order = whys[0]
    weights = read_toml("corebath.plan", "menu.toml")["weights"]
    points = {given.value for given in order.inputs if given.origin is Origin.MODEL}
    assert points == {f"{weight['points']} points" for weight in weights.values() if isinstance(weight, dict)}
    assert ("proved" in order.value) is (plan.proof.value in ("best", "none"))
    for served in plan.served:
        _sound(plan_whys(served.plan))


def test_a_batch_tells_what_sets_the_time_of_each_bath() -> None:
    plan = chicken(4.0, 1, 2)
    whys = batch_whys(plan)
    _sound(whys)
    assert len([one for one in whys if one.key.startswith("batch-run")]) == len(plan.runs)
    assert any(one.key == "batch-kept" for one in whys)


@pytest.mark.parametrize("times", [[], [600.0, 1800.0, 2400.0]])
def test_the_core_now_is_explained(times: list[float]) -> None:
    piece = piece_of(asked(), 57.0)
    cores = [20.0, 40.0, 46.0][: len(times)]
    found = estimate(piece, times, cores, now_s=2700.0)
    whys = estimate_whys(found)
    _sound(whys)
    assert whys[0].value == mark(round(found.core_now_C.middle, 1), "C")
    assert str(found.readings) in {given.value for given in whys[0].inputs}
    assert "in simulated cooks. On 6 measured cooling joints" in whys[0].spread
    assert "Meat Refrigeration" in whys[0].source


def test_values_are_the_plan_s() -> None:
    plan, numbers = plan_of("in a pot"), {one.key: one for one in whys_of("in a pot")}

    def minutes(seconds: float) -> str:
        return mark(60.0 * round(seconds / 60.0), "s")

    come_up = plan.timing.come_up
    assert numbers["set-point"].value == mark(plan.set_point_C, "C")
    assert numbers["come-up"].value == f"{minutes(come_up.nominal_s)}, up to {minutes(come_up.cautious_s)}"
    assert numbers["ready"].value == minutes(plan.window.ready_s)
    assert numbers["latest"].value == minutes(plan.window.latest_s)
    assert numbers["bath-time"].value == mark(plan.bath_s, "s")
    assert plan.drop_in.strftime("%H:%M") in numbers["drop-in"].value
    water = plan.water
    assert water is not None
    assert water.cost is not None
    assert numbers["holds"].value == f"{water.warm_up.holds_W.nominal:.0f} W"
    assert numbers["cost"].value.startswith(f"{water.cost.nominal:.2f}")
    for finding in plan.findings:
        assert numbers[f"rules-{finding.rule}"].value.startswith(finding.verdict.value)
        assert finding.source in numbers[f"rules-{finding.rule}"].source


def _named(plan: Plan, told: Told | None) -> dict[tuple[str, str], Origin]:
    return {(one.key, given.name): given.origin for one in plan_whys(plan, told) for given in one.inputs}


def test_each_input_says_whose_word_it_is() -> None:
    plan = planned(body=slab(0.03), set_point_C=57.0)
    told = Told(frozenset({"food", "thick", "want", "eat"}), frozenset({"start", "rules"}))
    said, unsaid = _named(plan, told), _named(plan, None)
    assert said["come-up", "thickness"] is Origin.TYPED
    assert unsaid["come-up", "thickness"] is Origin.ASKED
    assert said["come-up", "start, from the fridge"] is Origin.USUAL  # not even the request holds a start
    assert said["come-up", "composition"] is Origin.CATALOGUE
    assert said["set-point", "set point"] is Origin.TYPED
    assert said["rules-fsis-come-up", "rules of"] is Origin.GEAR
    assert said["rules-fsis-come-up", "limit"] is Origin.RULE
    measured = planned(body=slab(0.03), set_point_C=57.0, start_C=6.0)
    assert _named(measured, told)["come-up", "start, from the fridge"] is Origin.GEAR


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(inner)
    elif isinstance(value, str):
        yield value


@cache
def _held() -> tuple[str, ...]:
    """Every text of the data files, the longest first."""
    found = set()
    for path in ROOMS.glob("*/data/*"):
        room = f"corebath.{path.parent.parent.name}"
        if path.suffix == ".toml":
            found |= set(_texts(read_toml(room, path.name)))
        elif path.suffix == ".csv" and path.name != "synonyms.csv":
            found |= {value for row in read_rows(room, path.name) for value in row.values()}
    return tuple(sorted((text for text in found if len(text) >= 7), key=len, reverse=True))


def _findings(name: str) -> Iterator[Finding]:
    plan, ends = plan_of(name), ends_of(name)
    yield from plan.findings
    yield from plan.water.findings if plan.water is not None else ()
    yield from ends.salted.findings if ends.salted is not None else ()
    yield from ends.seared.sear.findings if ends.seared is not None else ()
    yield from ends.kept.findings


@pytest.mark.parametrize("name", NAMES)
def test_every_source_stands_in_the_data_or_in_a_finding(name: str) -> None:
    printed = {finding.source for finding in _findings(name)}
    known = sorted({*_held(), *printed}, key=len, reverse=True)
    for one in whys_of(name):
        left = one.source
        # What rooms add to a source of theirs where its value was recalled or stands for another.
        for text in ("bound only: ", "thawed meat: ", *known, "value from memory", "all keeping rules held"):
            left = left.replace(text, "")
        assert left.strip("; ") == "", (one.key, left)


def test_every_place_that_the_data_points_at_is_there() -> None:
    said = tomllib.loads((ROOMS / "plan" / "data" / "why.toml").read_text(encoding="utf-8"))
    assert all(text for text in said.pop("citations").values())
    for kind, table in said.items():
        assert table["model"].endswith("."), kind
        for where in table["source"]:
            assert citation(where), (kind, where)
        for name, key, words in table.get("figures", []):
            assert words, (kind, name, key)


@pytest.mark.parametrize("where", ["plan/spread.toml#nothing", "bath/covers.csv#key=tarpaulin", "#nobody"])
def test_a_source_that_is_nowhere_is_an_error(where: str) -> None:
    with pytest.raises(KeyError):
        citation(where)


def test_a_number_without_its_texts_is_an_error() -> None:
    with pytest.raises(KeyError):
        why("no such number", "answer", "1", ())
    with pytest.raises(ValueError, match="lacks its spread"):
        why("come-up", "answer", "1", ())
    with pytest.raises(ValueError, match="lacks its value"):
        why("map", "map", "", ())


def test_marks_are_printed_in_the_cook_s_units() -> None:
    come_up = next(one for one in whys_of("steak") if one.key == "come-up")
    start = next(given for given in come_up.inputs if given.name.startswith("start"))
    assert render(start.value, METRIC, both=False) == "4 °C"
    assert render(start.value, US, both=False) == "39 °F"
