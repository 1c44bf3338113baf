"""`corebath card`: one plan on paper, and what else is handed on."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from corebath.plan.ends import make_ends
from corebath.plan.make import make_plan
from corebath.show.card import card_of
from corebath.show.card_sheet import card_pdf, card_text, usual_paper
from corebath.show.handed import NotHandedOn
from corebath.show.labels_sheet import fridge_pdf, labels_pdf, plan_labels
from corebath.show.message import message
from corebath.web.card_page import card_file

from .asking import asked, asks, refuse
from .say import echo
from .writing import why_not_written

_FILE = click.Path(dir_okay=False, path_type=Path)
_PAPERS = ("a4", "letter", "a5")


@click.command("card", help="Print the plan of one FOOD on a card, on labels, or as a text to send.")
@click.argument("food")
@asks
@click.option("--pdf", type=_FILE, help="Write the card as a PDF of one page.")
@click.option("--html", type=_FILE, help="Write the card as one HTML file.")
@click.option("--labels", type=_FILE, help="Write a sheet of bag labels as a PDF.")
@click.option("--fridge", type=_FILE, help="Write the card for the fridge door as a PDF.")
@click.option("--bags", type=click.IntRange(1, 400), help="How many bags to label, if not one for each piece.")
@click.option("--paper", type=click.Choice(_PAPERS), help="a4, letter or a5; labels take a4 or letter.")
@click.option("--text", is_flag=True, help="Print the card as text; so it is when no file is named.")
@click.option("--message", "sent", is_flag=True, help="Print a few sentences to send, instead of the card.")
def command(
    food: str, pdf: Path | None, html: Path | None, labels: Path | None, fridge: Path | None, bags: int | None,
    paper: str | None, text: bool, sent: bool, **answers: str | None,
) -> None:  # fmt: skip
    """Hand a plan on. Exit code 1 when it does not work, 2 when something is not understood or cannot be written."""
    request, preference, _ = asked(food, answers)
    plan, made = make_plan(request), datetime.now(UTC)
    ends = make_ends(plan)
    sheet = paper or usual_paper(preference)
    try:
        card = card_of(plan, ends, preference, made)
        files: list[tuple[Path, bytes]] = []
        if pdf is not None:
            files.append((pdf, card_pdf(card, sheet)))
        if html is not None:
            files.append((html, card_file(card).encode("utf-8")))
        if labels is not None or fridge is not None:
            each = plan_labels(plan, ends, count=bags)
            if labels is not None:
                files.append((labels, labels_pdf(each, preference, sheet)))
            if fridge is not None:
                files.append((fridge, fridge_pdf(each, preference, made, sheet)))
        for path, body in files:
            path.write_bytes(body)
        if sent:
            echo(message(plan, ends, preference, made), nl=False)
        elif text or not files:
            echo(card_text(card), nl=False)
    except NotHandedOn as error:
        echo(str(error), err=True)
        raise SystemExit(1) from error
    except (ValueError, OSError) as error:
        refuse([f"It could not be written: {why_not_written(error)}."])
