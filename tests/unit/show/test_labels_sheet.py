"""Labels and the fridge card: how many, what stands on them, and texts that stay texts."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime
from io import BytesIO
from zoneinfo import ZoneInfo

import pytest
from pypdf import PdfReader
from tests.unit.show.handed_plans import handed, made, marked

from corebath.plan.batch.labels import Label
from corebath.show.handed import NotHandedOn
from corebath.show.labels_sheet import fridge_pdf, label_lines, labels_pdf, plan_labels
from corebath.units import METRIC, US

SUNDAY = datetime(2027, 3, 7, 16, 5, tzinfo=ZoneInfo("Europe/Paris"))
ODD = "#danger $x$ *b* <b>&amp; _i_ \\ `c`"
LABEL = Label("1", "Beef chuck", ("Cooked at {57|C} for {86400|s}",), SUNDAY, date(2027, 3, 12), "a rule at {5|C}")


def _pages(pdf: bytes) -> list[str]:
    reader = PdfReader(BytesIO(pdf))
    assert marked(reader)
    return [re.sub(r"\s+", " ", p.extract_text().replace("\N{NO-BREAK SPACE}", " ")) for p in reader.pages]


def test_each_bag_has_its_label() -> None:
    assert [label.key for label in plan_labels(*handed("steak"))] == ["1 of 2", "2 of 2"]
    assert len(plan_labels(*handed("in layers"))) == 3
    assert [label.key for label in plan_labels(*handed("egg"))] == ["1"]
    labels = plan_labels(*handed("chicken"))
    (page,) = _pages(labels_pdf(labels, METRIC))
    assert page.count("Use by Thu 6 May 2027") == 10
    assert page.count("Initials") == 10
    for part in ("Chicken breast, skinless", "62 °C (144 °F) for 2 h 42 min", "10 of 10", "Tue 4 May 2027", "Rule: "):
        assert part in page


def test_ten_labels_go_on_a_page_of_either_paper() -> None:
    for paper in ("a4", "letter"):
        assert len(_pages(labels_pdf([LABEL] * 10, METRIC, paper))) == 1
        assert len(_pages(labels_pdf([LABEL] * 11, US, paper))) == 2


def test_a_label_says_what_was_met_or_that_nothing_was() -> None:
    steak = label_lines(plan_labels(*handed("steak"))[0], METRIC)
    chicken = label_lines(plan_labels(*handed("chicken"))[0], METRIC)
    assert any("heated, not pasteurised" in line for line in steak)
    assert any("met: 70 °C (158 °F) for 2 min" in line for line in chicken)
    assert not any("{" in line for line in (*steak, *chicken))


def test_what_no_rule_allows_keeping_says_so() -> None:
    lines = label_lines(plan_labels(*handed("ribs"))[0], METRIC)
    assert any("no rule held allows keeping it" in line for line in lines)
    assert "Use by Sun 31 Oct 2027" in lines
    assert not any("Warm it" in line for line in lines)


def test_days_come_from_the_keeping_rule_of_the_plan() -> None:
    plan, ends = handed("chicken")
    (label, *_) = plan_labels(plan, ends)
    assert label.use_by == ends.kept.keeping.use_by(plan.pull.date())
    assert label.cooked == plan.pull
    assert ends.kept.keeping.rule is not None
    assert label.rule.startswith(ends.kept.keeping.rule.title)


def test_the_fridge_card_gathers_equal_bags_and_names_the_first_to_eat_first() -> None:
    early = replace(LABEL, title="Chicken", use_by=date(2027, 3, 9))
    frozen = replace(LABEL, title="Pork", use_by=None, frozen=True)
    labels = [replace(LABEL, key="1"), replace(LABEL, key="2"), frozen, early]
    (page,) = _pages(fridge_pdf(labels, METRIC, SUNDAY))
    assert page.index("Chicken, 1 bag") < page.index("Beef chuck, 2 bags") < page.index("Pork, 1 bag")
    assert "Frozen. No day to use it by" in page
    assert "57 °C (135 °F)" in page
    assert "local food code" in page
    assert len(_pages(fridge_pdf(plan_labels(*handed("chicken")), US, made("chicken"), "letter"))) == 1


def test_odd_letters_stay_letters_and_those_without_a_glyph_are_refused() -> None:
    odd = replace(LABEL, title=ODD, rule=ODD)
    assert _pages(labels_pdf([odd], METRIC))[0].count(ODD) == 2
    assert ODD in _pages(fridge_pdf([odd], METRIC, SUNDAY))[0]
    with pytest.raises(ValueError, match="cannot be printed"):
        labels_pdf([replace(LABEL, title="egg \N{EGG}")], METRIC)


def test_what_cannot_be_a_label_is_refused() -> None:
    for title in ("", " ", "a\nb", "x" * 121):
        with pytest.raises(ValueError, match="one line"):
            labels_pdf([replace(LABEL, title=title)], METRIC)
    with pytest.raises(ValueError, match="too long"):
        labels_pdf([replace(LABEL, lines=("word " * 200,))], METRIC)
    with pytest.raises(ValueError, match="a4 or letter"):
        labels_pdf([LABEL], METRIC, "a5")
    for many in (0, 401):
        with pytest.raises(ValueError, match="between 1 and 400"):
            labels_pdf([LABEL] * many, METRIC)
        with pytest.raises(ValueError, match="between 1 and 400"):
            plan_labels(*handed("egg"), count=many)
    with pytest.raises(NotHandedOn):
        plan_labels(*handed("cold"))
