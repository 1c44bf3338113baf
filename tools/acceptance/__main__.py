"""`python -m tools.acceptance` writes the pages of the eight scenarios into `docs/acceptance`."""

from __future__ import annotations

from pathlib import Path

from .pages import SCENARIOS, page

FOLDER = Path(__file__).parents[2] / "docs" / "acceptance"


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    for scenario in SCENARIOS:
        (FOLDER / f"{scenario.key}.md").write_text(page(scenario, scenario.answers()), encoding="utf-8")
        print(f"{scenario.key}.md")


if __name__ == "__main__":
    main()
