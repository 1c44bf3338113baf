"""Pages in another language: sentences that run across inline elements, labels, and what is left alone."""

from __future__ import annotations

import pytest

from corebath.language.catalogue import Catalogue
from corebath.language.page import page
from corebath.language.text import Translator

FRENCH = Translator(
    "fr",
    Catalogue(
        [
            ("Keep them under <0>Gear</0>, please.", "Gardez-les, s’il vous plaît, sous <0>Matériel</0>."),
            ("I have <0/> pieces, <1/> thick.", "Épaisseur <1/>, <0/> morceaux."),
            ("Plan", "Plan de cuisson"),
            ("from the fridge", "du réfrigérateur"),
            ("How many", "Combien"),
            ("Salt & pepper", "Sel & poivre"),
            ("Serve.", "Servir."),
        ]
    ),
)


@pytest.mark.parametrize(
    ("english", "french"),
    [
        ("<p>Serve.</p>", "<p>Servir.</p>"),
        ('<p>\nKeep them under <a href="/gear">Gear</a>,\nplease.</p>',
         '<p>\nGardez-les, s’il vous plaît, sous <a href="/gear">Matériel</a>.</p>'),
        ('<p>I have <input name="a"> pieces, <input name="b"> thick.</p>',
         '<p>Épaisseur <input name="b">, <input name="a"> morceaux.</p>'),
        ('<a href="/">Plan</a> <a href="/x">Nobody</a>', '<a href="/">Plan de cuisson</a> <a href="/x">Nobody</a>'),
        ('<select aria-label="How many"><option value="fridge">from the fridge</option></select>',
         '<select aria-label="Combien"><option value="fridge">du réfrigérateur</option></select>'),
        ("<p>Salt &amp; pepper</p>", "<p>Sel &amp; poivre</p>"),
        ("<p>57.5 °C</p>", "<p>57,5 °C</p>"),
        ("<svg><title>Plan</title><text>Serve.</text></svg>",
         "<svg><title>Plan de cuisson</title><text>Servir.</text></svg>"),
    ],
)  # fmt: skip
def test_a_block_is_said_as_one_and_its_elements_stay(english: str, french: str) -> None:
    assert page(english, FRENCH) == french


@pytest.mark.parametrize(
    "kept",
    [
        "<script>Serve.</script>",
        "<pre>Serve.</pre>",
        '<p>see <code>Serve.</code></p>',
        '<textarea name="note">Serve.</textarea>',
        '<p translate="no">Serve.</p>',
        '<p>see <span translate="no">Serve.<b>Plan</b></span></p>',
        '<input value="Serve.">',
        "<p>&lt;0&gt;Serve&lt;/0&gt;</p>",
        "<!-- Serve. -->",
        "",
    ],
)  # fmt: skip
def test_code_and_what_a_cook_typed_stay(kept: str) -> None:
    assert page(kept, FRENCH) == kept


def test_a_cook_s_words_never_become_elements() -> None:
    said = page("<p>&lt;b&gt; Plan, Serve. &lt;script&gt;</p>", FRENCH)
    assert "<b>" not in said
    assert "<script>" not in said
