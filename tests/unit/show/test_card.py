"""The card: what stands on it, on one page, whatever the plan; codes that are read back; texts that stay texts."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from io import BytesIO

import pytest
import zxingcpp
from PIL import Image
from pypdf import PdfReader
from tests.unit.plan.planning import planned
from tests.unit.show.handed_plans import WORKING, handed, made, marked

from corebath.plan.ends import make_ends
from corebath.safety.finding import Verdict
from corebath.show.card import LEAST_DETAIL, MOST_DETAIL, Card, card_of
from corebath.show.card_sheet import card_pdf, card_png, card_text, usual_paper, web_print
from corebath.show.handed import NotHandedOn
from corebath.show.labels_sheet import plan_labels
from corebath.show.message import message, short_form
from corebath.show.qr import MOST_BYTES, code_of, plain_letters
from corebath.units import METRIC, US, Preference, render, show_temperature

PAPERS = {"a4": (210, 297), "letter": (215.9, 279.4), "a5": (148, 210)}
ODD = "#danger $x$ *b* <b>&amp; _i_ \\ `c` @ref"


@cache
def _card(name: str, preference: Preference = METRIC) -> Card:
    plan, ends = handed(name)
    return card_of(plan, ends, preference, made(name))


def _read(pdf: bytes) -> tuple[PdfReader, str]:
    reader = PdfReader(BytesIO(pdf))
    text = " ".join(page.extract_text() for page in reader.pages)
    return reader, re.sub(r"\s+", " ", text.replace("\N{NO-BREAK SPACE}", " "))


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", WORKING)
def test_every_plan_takes_one_page(name: str, paper: str) -> None:
    preference = US if paper == "letter" else METRIC
    card = _card(name, preference)
    reader, text = _read(card_pdf(card, paper))
    assert len(reader.pages) == 1
    wide, high = PAPERS[paper]
    box = reader.pages[0].mediabox
    assert [float(box.width), float(box.height)] == pytest.approx([wide * 72 / 25.4, high * 72 / 25.4], abs=0.5)
    plan = handed(name)[0]
    assert card.name in text
    assert show_temperature(plan.set_point_C, preference) in text
    for moment in (plan.drop_in, plan.pull, plan.serve):
        assert f"{moment:%H:%M}" in text
    for finding in plan.findings:
        if finding.binding and "cooling" not in finding.rule:
            assert render(finding.title, preference) in text
    assert card.foot in text


@pytest.mark.parametrize("name", ["steak", "ribs", "chicken", "egg"])
def test_a_small_page_holds_it_too(name: str) -> None:
    assert len(_read(card_pdf(_card(name), "a5"))[0].pages) == 1


def test_what_is_too_long_for_a_small_page_is_refused_in_a_sentence() -> None:
    with pytest.raises(ValueError, match="take a larger paper"):
        card_pdf(_card("four days"), "a5")
    with pytest.raises(ValueError, match="a4, letter, a5"):
        card_pdf(_card("egg"), "a0")


def test_the_page_is_tagged_and_titled() -> None:
    reader, _ = _read(card_pdf(_card("egg")))
    assert marked(reader)
    root = reader.root_object
    assert "/StructTreeRoot" in root
    assert str(root["/Lang"]) == "en"
    assert reader.metadata is not None
    assert reader.metadata.title == "Egg in its shell"
    assert b"pdfuaid:part" in card_pdf(_card("egg"))


def test_detail_falls_away_in_ranks_and_is_counted() -> None:
    card = _card("ribs")
    lengths = [len(card_text(card, detail)) for detail in range(LEAST_DETAIL, MOST_DETAIL + 1)]
    assert lengths == sorted(lengths)
    assert card.left_out(MOST_DETAIL) == ""
    for detail in range(LEAST_DETAIL, MOST_DETAIL):
        gone = sum(len(p.lines) for p in card.parts) - sum(len(p.lines) for p in card.at(detail).parts)
        if gone:
            assert str(gone) in card.left_out(detail)
            assert "plan page" in card.left_out(detail)


@pytest.mark.parametrize("name", WORKING)
def test_nothing_that_binds_or_must_be_done_ever_falls_away(name: str) -> None:
    plan, ends = handed(name)
    least = card_text(_card(name), LEAST_DETAIL)
    for finding in plan.findings:
        if finding.binding and "cooling" not in finding.rule:
            assert render(finding.title, METRIC) in least
    for task in ends.run_sheet:
        if task.is_action and task.key not in ("check", "top-up"):
            assert render(task.what, METRIC) in least
        elif task.is_action:
            assert f"{task.at:%H:%M}" in least
    assert "asteurised at the core" in least
    assert "throw it out" in least


def test_a_long_cook_has_its_precautions_and_a_short_one_has_not() -> None:
    long, short = card_text(_card("ribs"), 1), card_text(_card("steak"), 8)
    for word in ("Power cut", "Seams", "Without power"):
        assert word in long
    assert "Power cut" not in short
    assert "clocks go back by 1 h" in long


def test_hot_water_has_its_precaution_on_bags_and_a_cool_bath_has_not() -> None:
    # From 70 C on, common practice, no source.
    hot = planned("carrot", set_point_C=85.0)
    assert "softens seams and zips" in card_text(card_of(hot, make_ends(hot), METRIC, made("steak")), 1)
    assert "softens seams and zips" not in card_text(_card("ribs"), 1)


def test_limits_hold_the_planned_time_between_them() -> None:
    limits = {f.name: f.text for f in _card("steak").limits}
    assert limits["Bath"] == "56 °C (133 °F)"
    assert limits["Pull, earliest"].startswith("1 h 48 min after drop-in")
    assert limits["Pull, latest"].startswith("4 h after drop-in")
    asked = {f.name: f.text for f in _card("ribs").limits}
    assert "as asked" in asked["Pull, earliest"]
    assert "usual" in asked["Pull, earliest"]


def test_both_systems_stand_there_the_readers_first() -> None:
    assert "132 °F" not in _card("steak").limits[0].text
    assert _card("steak", US).limits[0].text == "133 °F (56 °C)"
    assert usual_paper(US) == "letter"
    assert usual_paper(METRIC) == "a4"


def test_odd_letters_stay_letters_and_those_without_a_glyph_are_refused() -> None:
    plan, ends = handed("egg")
    _, text = _read(card_pdf(card_of(plan, ends, METRIC, made("egg"), name=ODD)))
    assert ODD in text
    with pytest.raises(ValueError, match="cannot be printed"):
        card_pdf(card_of(plan, ends, METRIC, made("egg"), name="egg \N{EGG}"))


def test_a_very_long_name_is_refused_or_fits() -> None:
    card = replace(_card("egg"), name="Egg " * 40)
    assert len(_read(card_pdf(card))[0].pages) == 1
    with pytest.raises(ValueError, match="shorter name"):
        card_pdf(replace(card, name="Egg " * 2000))


@pytest.mark.parametrize("name", WORKING)
def test_the_code_on_paper_is_read_by_another_program(name: str) -> None:
    card = _card(name)
    picture = Image.open(BytesIO(card_png(card))).convert("L")
    found = zxingcpp.read_barcodes(picture)
    assert [f.text for f in found] == [card.code.text]
    assert (card.code.modules - 8 - 17) // 4 <= 20


def test_the_code_holds_an_address_where_there_is_one() -> None:
    plan, ends = handed("egg")
    card = card_of(plan, ends, METRIC, made("egg"), link="http://kitchen.local:8360/?food=egg")
    assert card.code.text == "http://kitchen.local:8360/?food=egg"
    assert "page" in card.code_says


@pytest.mark.parametrize("name", WORKING)
def test_the_short_form_holds_the_plan_in_plain_letters(name: str) -> None:
    plan = handed(name)[0]
    for preference in (METRIC, US):
        text = short_form(plan, preference, made(name))
        assert text.isascii()
        assert len(text) <= MOST_BYTES
        for part in (f"{plan.drop_in:%H:%M}", f"{plan.pull:%H:%M}", "Bath", "Local food code"):
            assert part in text
        said = text.count("Met: ") + sum(int(n) for n in re.findall(r"and (\d+) more rules", text))
        assert said == sum(f.binding and "cooling" not in f.rule for f in plan.findings)


def test_codes_take_plain_letters_of_some_length() -> None:
    assert plain_letters("56 °C – “crème” 🥚") == '56 C - "creme" ?'
    assert (code_of("x" * MOST_BYTES).modules - 25) // 4 <= 20
    for bad in ("", "é", "x" * (MOST_BYTES + 1)):
        with pytest.raises(ValueError, match="plain letters"):
            code_of(bad)


@pytest.mark.parametrize("name", WORKING)
def test_the_message_names_every_binding_rule_with_its_source_and_the_day(name: str) -> None:
    plan, ends = handed(name)
    text = message(plan, ends, METRIC, made(name))
    for finding in plan.findings:
        if "cooling" in finding.rule:
            continue
        if finding.binding:
            assert render(finding.title, METRIC) in text
            assert finding.source in text
        elif finding.verdict is not Verdict.MET:
            assert render(finding.title, METRIC) in text
    assert str(made(name).year) in text
    assert "{" not in text
    assert "safe" not in text.lower()


def test_a_plan_that_does_not_work_is_not_handed_on() -> None:
    plan, ends = handed("cold")
    for hand in (
        lambda: card_of(plan, ends, METRIC, made("cold")),
        lambda: message(plan, ends, METRIC, made("cold")),
        lambda: short_form(plan, METRIC, made("cold")),
    ):
        with pytest.raises(NotHandedOn, match="does not work"):
            hand()


def test_a_web_page_is_printed_with_what_one_page_holds() -> None:
    assert web_print(_card("egg")) > web_print(_card("four days")) >= (1, 8)


def test_a_card_and_its_labels_ask_for_the_cold_holding_limit_where_no_fridge_was_measured() -> None:
    plan = planned("chicken breast", set_point_C=62.0)
    ends = make_ends(plan)
    assert not ends.kept.keeping.measured
    text = card_text(card_of(plan, ends, METRIC, made("chicken")), MOST_DETAIL)
    assert "then at 5 °C (41 °F) or below" in text
    assert "The days are for a fridge at 7 °C (45 °F), as it was not measured." in text
    assert plan_labels(plan, ends)[0].rule.endswith("sealed, at {5|C} or below")
