"""What is looked at on a page: by axe, and by `access.js`. An empty list of words is well."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page
from tests.web.setting import PHONE

_SCRIPT = (Path(__file__).parent / "access.js").read_text()
# The tags of axe for WCAG 2.2 at level AA and all that it builds on, and axe's own good practice.
_WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# All that can depend on the colours of a page.
_COLOUR = ["color-contrast", "link-in-text-block"]
_WIDE = ".wide"


def _run(page: Page, name: str, argument: object = None) -> Any:
    return page.evaluate(f"(argument) => {{ {_SCRIPT}\nreturn {name}(argument); }}", argument)


def open_all(page: Page) -> None:
    """Open whatever can be opened."""
    _run(page, "openAll")


def axe(page: Page, *, colours: str = "too") -> list[str]:
    """What axe finds.

    colours : "too" with all the rest, "none", "all" and nothing else, or "wide": in what is shown in wide windows only
    """
    chosen = {"type": "rule", "values": _COLOUR} if colours in ("all", "wide") else {"type": "tag", "values": _WCAG}
    options: dict[str, Any] = {"runOnly": chosen, "resultTypes": ["violations"]}
    if colours == "none":
        options["rules"] = {rule: {"enabled": False} for rule in _COLOUR}
    if colours == "wide" and page.locator(_WIDE).count() == 0:
        return []
    found = Axe().run(page, context=_WIDE if colours == "wide" else None, options=options)
    return [
        f"{violation['id']}: {node['html'][:120]} {node['failureSummary'][:200]}"
        for violation in found.response["violations"]
        for node in violation["nodes"]
    ]


def axe_finds_nothing_at(browser: Browser, address: str, path: str, scheme: str) -> None:
    """All of axe's rules on one page of a site at phone size, with all opened. scheme : light or dark"""
    context = browser.new_context(
        viewport={"width": PHONE["width"], "height": PHONE["height"]},
        color_scheme="dark" if scheme == "dark" else "light", base_url=address,
    )  # fmt: skip
    page = context.new_page()
    page.goto(path)
    page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    found = Axe().run(page)
    context.close()
    assert found.violations_count == 0, found.generate_report()


def structure(page: Page) -> list[str]:
    """Language, title, headings, tables, charts, ids, and sentences at what is not clear."""
    return list(_run(page, "structure"))


def targets(page: Page, least_px: float = 24.0, which: str = "") -> list[str]:
    """What can be pressed and is too small for a finger. which : selector, all that can be pressed when empty"""
    return list(_run(page, "targets", [least_px, which]))


def cut(page: Page) -> list[str]:
    """What does not fit the window."""
    return list(_run(page, "cut"))


def moves(page: Page) -> list[str]:
    """What moves by itself."""
    return list(_run(page, "moves"))


def forced(page: Page) -> list[str]:
    """What is lost where the system's colours are forced on the page."""
    return list(_run(page, "forced"))


def stop(page: Page) -> dict[str, Any] | None:
    """Where the focus is; None when it is on nothing."""
    found: dict[str, Any] | None = _run(page, "stop")
    return found


def unclear(at: dict[str, Any]) -> list[str]:
    """What is wrong with a stop of the focus."""
    wrong = [] if at["marked"] else [f"{at['told']} does not show that it has the focus"]
    return wrong + ([] if at["seen"] else [f"{at['told']} has the focus and is not seen"])


def walk(page: Page, key: str = "Tab") -> tuple[list[str], int]:
    """Go through the whole page by key; what was wrong at a stop, and how many stops there were."""
    wrong: list[str] = []
    orders: list[int] = []
    wanted = int(_run(page, "stops"))
    for _ in range(wanted * 4 + 20):  # a field of date and time has several stops inside
        page.keyboard.press(key)
        at = stop(page)
        if at is None or (len(orders) > 1 and at["order"] == orders[0]):
            break  # out of the page, or round it
        if orders and at["order"] == orders[-1]:
            continue
        orders.append(at["order"])
        wrong += unclear(at)
    else:
        wrong.append("the keyboard does not come out of the page")
    if orders != sorted(orders, reverse=key != "Tab"):
        wrong.append("the stops are not in the order of the page")
    if len(orders) < wanted:
        wrong.append(f"{wanted - len(orders)} things that can be used are not reached")
    return wrong, len(orders)
