"""`corebath card`, and the calendar of `corebath plan`."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
import vobject
from pypdf import PdfReader
from tests.unit.cli.ends_runs import run

STEAK = ("ribeye", "--thick", "30 mm", "--want", "medium rare", "--eat", "tomorrow 19:30", "--zone", "Europe/Paris")
COLD = ("ribeye", "--thick", "30 mm", "--want", "49 C", "--guests", "risk", "--eat", "tomorrow 19:30")


def _pages(path: Path) -> int:
    return len(PdfReader(BytesIO(path.read_bytes())).pages)


def test_the_card_is_printed_as_text_when_no_file_is_named() -> None:
    result = run("card", *STEAK)
    assert result.exit_code == 0, result.output
    for part in ("Limits", "Run sheet", "done at ___", "What the rules say", "local food code"):
        assert part in result.stdout


def test_files_are_written_in_every_form(tmp_path: Path) -> None:
    pdf, html, labels, fridge = (tmp_path / name for name in ("c.pdf", "c.html", "l.pdf", "f.pdf"))
    result = run(
        "card", *STEAK, "--pdf", str(pdf), "--html", str(html), "--labels", str(labels), "--fridge", str(fridge),
        "--bags", "11", "--units", "us",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    assert result.stdout == ""
    assert (_pages(pdf), _pages(labels), _pages(fridge)) == (1, 2, 1)
    assert float(PdfReader(BytesIO(pdf.read_bytes())).pages[0].mediabox.width) == pytest.approx(612)
    page = html.read_text(encoding="utf-8")
    assert "<style>" in page
    assert "<svg" in page
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "")


def test_a_message_stands_alone() -> None:
    result = run("card", *STEAK, "--message")
    assert result.exit_code == 0
    assert "Run sheet" not in result.stdout
    assert "Met, by the rules of United States" in result.stdout


def test_what_does_not_work_is_not_handed_on(tmp_path: Path) -> None:
    pdf, ics = tmp_path / "c.pdf", tmp_path / "c.ics"
    card, plan = run("card", *COLD, "--pdf", str(pdf)), run("plan", *COLD, "--ics", str(ics))
    assert (card.exit_code, plan.exit_code) == (1, 1)
    assert "does not work" in card.stderr
    assert "no calendar" in plan.stderr
    assert not pdf.exists()
    assert not ics.exists()


@pytest.mark.parametrize(
    "wrong",
    [
        ("--thick", "sideways"), ("--pdf", "/nowhere/at/all/c.pdf"), ("--labels", "l.pdf", "--paper", "a5"),
        ("--paper", "a0"), ("--bags", "0"), ("--bags", "many"),
    ],
)  # fmt: skip
def test_what_is_not_understood_leaves_with_a_sentence(
    wrong: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    result = run("card", *STEAK, *wrong)
    assert result.exit_code == 2
    assert result.stderr
    assert "Traceback" not in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_the_plan_writes_a_calendar(tmp_path: Path) -> None:
    ics = tmp_path / "cook.ics"
    result = run("plan", *STEAK, "--ics", str(ics))
    assert result.exit_code == 0, result.output
    read = vobject.readOne(ics.read_bytes().decode("utf-8"))
    assert any(e.summary.value.endswith(": pull") for e in read.vevent_list)
    assert read.vtimezone.tzid.value == "Europe/Paris"
    nowhere = run("plan", *STEAK, "--ics", "/nowhere/at/all/c.ics")
    assert nowhere.exit_code == 2
    assert "calendar could not be written" in nowhere.stderr
