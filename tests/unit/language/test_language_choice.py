"""Which language a browser or a terminal asks for."""

from __future__ import annotations

import pytest

from corebath.language import asked_for, from_environment


@pytest.mark.parametrize(
    ("accepts", "language"),
    [
        ("", "en"),
        ("de", "de"),
        ("fr-CH, fr;q=0.9, en;q=0.8, de;q=0.7, *;q=0.5", "fr"),  # the example of RFC 9110, section 12.5.4, shortened
        ("it, es;q=0.3, de;q=0.5", "de"),
        ("de;q=0, en", "en"),
        ("de;q=0", "en"),
        ("ja", "en"),
        ("ES-mx", "es"),
        ("de;q=nonsense, fr", "fr"),
        (",;,=", "en"),
    ],
)
def test_a_browser_gets_what_it_likes_best_of_what_there_is(accepts: str, language: str) -> None:
    assert asked_for(accepts) == language


@pytest.mark.parametrize(
    ("environment", "language"),
    [
        ({}, "en"),
        ({"LANG": "de_DE.UTF-8"}, "de"),
        ({"LANG": "de_DE.UTF-8", "LC_ALL": "C.UTF-8"}, "en"),
        ({"LANG": "de_DE.UTF-8", "LANGUAGE": "it:fr:de"}, "fr"),
        ({"LC_MESSAGES": "es_AR", "LANG": "de_DE"}, "es"),
        ({"LANG": "ja_JP.UTF-8"}, "en"),
    ],
)
def test_a_terminal_is_read_in_the_order_of_gettext(environment: dict[str, str], language: str) -> None:
    # LANGUAGE, LC_ALL, LC_MESSAGES, LANG: the GNU gettext manual, "Locale Environment Variables".
    assert from_environment(environment) == language
