"""A shared card: one plan, to be read by whoever has the link, and nothing else of the household."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from html import unescape
from pathlib import Path

import pytest
from tests.web.own_kitchen import CHICKEN, STEAK
from tests.web.visitors import NETWORK, House

from corebath.log.gear import NamedHeater, NamedVessel
from corebath.log.share import hash_of, nameless
from corebath.web.guard_settings import sharing

FORM = {name: str(value) for name, value in STEAK.items()} | {"pieces": "2", "mass": "280 g"}
VESSEL, HEATER = "grandmother's copper kettle", "Otto the heater"


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    """A kitchen whose gear has names that cannot stand on a page by chance."""
    made = House(tmp_path)
    kept = made.store.kitchen()
    assert kept is not None
    kitchen, revision = kept
    own = replace(
        kitchen,
        vessels=(NamedVessel(VESSEL, kitchen.vessels[0].vessel), *kitchen.vessels[1:]),
        heaters=(NamedHeater(HEATER, kitchen.heaters[0].heater),),
        price_per_kWh=0.4321,
    )
    made.store.save_kitchen(own, revision)
    yield made
    made.store.close()


def _share(house: House, **answers: str) -> str:
    """Share a plan; the path of its link."""
    page = house.here().send("/share", **(FORM | answers))
    assert page.status_code == 200
    return "/s/" + page.text.partition("/s/")[2].partition('"')[0]


def _words(page: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", page)).split())


def test_whoever_has_the_link_reads_the_plan_and_changes_nothing(house: House) -> None:
    path = _share(house)
    page = house.visitor().get(path)
    assert page.status_code == 200
    text = _words(page.text)
    own = _words(house.here().get("/?" + "&".join(f"{k}={v.replace(' ', '+')}" for k, v in FORM.items())).text)
    sentence = re.search(r"2 pieces of beef ribeye steak: set the bath to .*?serve at 19:30", own)
    assert sentence
    assert sentence[0] in text
    for part in ("Run sheet", "What the rules say", "Keep in mind", "A shared plan"):
        assert part in text
    assert "<form" not in page.text
    assert set(re.findall(r'href="([^"#]+)', page.text)) <= {"/static/icon.svg", "/static/corebath.css"}
    for method in ("POST", "PUT", "DELETE"):
        assert house.visitor().client.request(method, path).status_code in (403, 405)


def test_nothing_of_the_household_stands_on_it(house: House) -> None:
    """Everything that the kitchen is called, knows or did is looked for in what a stranger gets, headers and all."""
    here = house.here()
    other = {name: str(value) for name, value in CHICKEN.items()}
    here.send("/kitchen/start", **other)
    here.send("/kitchen/1/event", happening="note", text="for aunt Mathilde")
    house.household.pair(house.household.new_code().text, "Ida's telephone", "192.0.2.9")
    path = _share(house, vessel=VESSEL, heater=HEATER)
    other_path = _share(house, food="pork chop", want="60 C")
    kitchen = house.store.kitchen()
    assert kitchen is not None
    secrets = [
        VESSEL, "copper kettle", HEATER, "Otto", "Mathilde", "chicken breast", "pork chop", "Ida", "0.43", "192.0.2.7",
        "kitchen.local",
        other_path.removeprefix("/s/"), house.household.logger_token, str(house.store.file), "kitchen.db",
        "/kitchen", "/log", "/gear", "/api", "Log", "Gear",
        *(v.name for v in kitchen[0].vessels),
    ]  # fmt: skip
    answer = house.visitor().get(path)
    everything = unescape(answer.text) + str(answer.headers)
    for secret in secrets:
        assert secret not in everything, secret
    assert "set-cookie" not in answer.headers
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert "noindex" in answer.headers["x-robots-tag"]
    assert "no-store" in answer.headers["cache-control"]


def test_it_stays_as_it_was_shared(house: House) -> None:
    """Neither the clock nor a change of the gear moves it; the gear it was reckoned with is kept without names."""
    path = _share(house, vessel=VESSEL)
    before = house.visitor().get(path).text
    kept = house.store.kitchen()
    assert kept is not None
    changed = replace(kept[0], vessels=(), heaters=(), probe_offset_K=1.5, cold_tap_C=25.0)
    house.store.save_kitchen(changed, kept[1])
    house.now += timedelta(days=8)
    house.store.close()
    after = House(house.key_file.parent)
    after.now = house.now
    assert after.visitor().get(path).text == before
    after.store.close()


def test_a_link_ends_by_itself_and_by_hand(house: House) -> None:
    first, second = _share(house), _share(house)
    gear = house.here().get("/gear").text
    assert gear.count("Stop sharing</button>") == 2
    assert "/s/" not in gear
    number = house.store.shares(house.now)[0].id
    assert house.here().send(f"/gear/shared/{number}/revoke", page="/gear").status_code == 303
    assert house.visitor().get(second).status_code == 404
    assert house.visitor().get(first).status_code == 200
    house.now += timedelta(days=sharing().days)
    assert house.visitor().get(first).status_code == 404
    assert "None. A plan is shared from its page." in house.here().get("/gear").text


def test_what_is_over_looks_like_what_never_was(house: House) -> None:
    path = _share(house)
    house.store.revoke_share(house.store.shares(house.now)[0].id or 0)
    gone, never = house.visitor().get(path), house.visitor().get("/s/" + "a" * 32)
    assert gone.status_code == never.status_code == 404
    assert gone.text == never.text
    for odd in ("/s/", "/s/a/b", "/s/%00", "/s/" + "x" * 3000, "/s/%F0%9F%94%A5"):
        assert house.visitor().get(odd).status_code == 404


def test_the_store_does_not_know_the_link(house: House) -> None:
    token = _share(house).removeprefix("/s/")
    assert len(token) >= 32
    house.store.backup(house.key_file.parent / "copy.db")
    held = (house.key_file.parent / "copy.db").read_bytes()
    assert token.encode() not in held
    assert hash_of(token).encode() in held


def test_shares_are_not_exported(house: House, tmp_path: Path) -> None:
    _share(house)
    house.store.export(tmp_path / "export.jsonl")
    text = (tmp_path / "export.jsonl").read_text()
    assert "shared" not in text
    assert "ribeye" not in text


def test_the_names_of_gear_are_not_even_kept_with_a_share(house: House) -> None:
    _share(house, vessel=VESSEL, heater=HEATER)
    connection = sqlite3.connect(str(house.store.file))
    (row,) = connection.execute("SELECT query, kitchen FROM shared").fetchall()
    connection.close()
    assert not [name for name in (VESSEL, "kettle", "Otto") if name in "".join(row)]


def test_the_gear_of_the_question_is_the_gear_of_the_share(house: House) -> None:
    kept = house.store.kitchen()
    assert kept is not None
    second = kept[0].vessels[1]
    alone = nameless(kept[0], second.name.upper())
    assert [(v.name, v.vessel) for v in alone.vessels] == [("vessel", second.vessel)]
    assert alone.room == kept[0].room
    assert alone.price_per_kWh is None


@pytest.mark.parametrize("answers", [{"thick": "10 m"}, {"food": ""}, {"eat": "2020-01-01T10:00"}, {"bath": "1 min"}])
def test_what_is_no_plan_is_not_shared(house: House, answers: dict[str, str]) -> None:
    answer = house.here().send("/share", **(FORM | answers))
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/?")
    assert house.store.shares(house.now) == ()


def test_the_link_is_an_address_of_the_network_as_text_and_as_a_picture(house: House) -> None:
    page = house.here().send("/share", **FORM).text
    assert re.search(rf">{NETWORK}/s/[\w-]{{32}}<", page)
    assert "<svg" in page
    plan = house.here().get("/?" + "&".join(f"{k}={v.replace(' ', '+')}" for k, v in FORM.items())).text
    assert 'formaction="/share"' in plan


def test_there_are_only_so_many_shares(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("corebath.web.share_routes.sharing", lambda: replace(sharing(), shares=1))
    _share(house)
    answer = house.here().send("/share", **FORM)
    assert answer.status_code == 503
    assert "stop sharing one on Gear first" in answer.text
    house.store.revoke_share(house.store.shares(house.now)[0].id or 0)
    _share(house)
