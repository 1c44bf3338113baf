"""Numbers and their units stand on one line wherever lines are broken, and nowhere else is a letter changed."""

from __future__ import annotations

import pytest

from corebath.show.together import page_together, together


@pytest.mark.parametrize(
    ("text", "tied"),
    [
        ("the bath to 56 °C (133 °F).", "the bath to 56~°C (133~°F)."),
        ("+1 h 50 min", "+1~h~50~min"),
        ("36 h of 2 days 3 h", "36~h of 2~days 3~h"),
        ("4 min 30 s a side", "4~min~30~s a side"),
        ("38 mm (1 1/2 in)", "38~mm (1~1/2~in)"),
        ("1.9 kg (4 lb 3 oz), 1 % of salt", "1.9~kg (4~lb~3~oz), 1~% of salt"),
        ("2 Tage, 3 jours, 4 días", "2~Tage, 3~jours, 4~días"),
        ("12 pieces at 19:30", "12 pieces at 19:30"),
    ],
)
def test_a_number_stays_with_its_unit(text: str, tied: str) -> None:
    """SI brochure, 9th edition, 5.4.3: a space stands between number and unit (value from memory)."""
    assert together(text) == tied.replace("~", "\u00a0")


def test_only_text_of_a_page_is_changed() -> None:
    kept = (
        '<input value="57 °C" placeholder="5 min ago"><textarea>57 °C</textarea><svg><text>57 °C</text></svg>'
        "<style>a { margin: 0 2 mm }</style><code>57 °C</code>"
    )
    assert page_together(f"<p>57 °C</p>{kept}<p>57 °C <b>1 h</b></p>") == (
        f"<p>57\u00a0°C</p>{kept}<p>57\u00a0°C <b>1\u00a0h</b></p>"
    )
