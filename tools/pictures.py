"""`python -m tools.pictures` writes the pictures in docs/pictures, and docs/salting-to-plate.md, which shows most.

The picture of a plan is that of the README and the tutorial, asked at a moment that stands, so that it stays the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from corebath.ask.question import Question
from corebath.ask.understand import understand
from corebath.log.gear import Kitchen
from corebath.plan.make import make_plan
from corebath.plan.map import make_map
from corebath.plan.plan import Plan
from corebath.show.drawing import Drawing
from corebath.show.files import write_chart
from corebath.show.sheet import sheet_drawing
from corebath.show.svg import to_svg
from corebath.units import METRIC
from tools import salting_to_plate

DOCS = Path(__file__).parents[1] / "docs"
PAGE, PICTURES = DOCS / "salting-to-plate.md", DOCS / "pictures"
NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
QUESTION = Question(
    food="striploin", thick="30 mm", want="medium rare", pieces="2", mass="280 g", eat="tomorrow 19:30", rules="UK"
)


def plan() -> Plan:
    """The plan of the README."""
    return make_plan(understand(QUESTION, NOON, Kitchen(zone=ZoneInfo("Europe/London"))))


def pictures() -> Iterator[tuple[str, Drawing]]:
    """Every picture of the documentation, with the name of its file."""
    drawn = plan()
    yield "plan.svg", sheet_drawing(drawn, make_map(drawn), METRIC)
    yield from salting_to_plate.pictures()


def main() -> None:
    """Write them, and the page."""
    for name, drawing in pictures():
        write_chart(to_svg(drawing, standalone=True), PICTURES / name)
        print(name)
    PAGE.write_text(salting_to_plate.page(), encoding="utf-8")
    print(PAGE.name)


if __name__ == "__main__":
    main()
