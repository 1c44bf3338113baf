"""The browser of the screen tests, for the walks of the scenarios."""

from tests.web.conftest import _own_pages, browser, own

__all__ = ["_own_pages", "browser", "own"]
