"""What people and programs type, well and badly, by the name of the answer."""

from __future__ import annotations

from hypothesis import strategies as st

GOOD: dict[str, tuple[str, ...]] = {
    "food": ("beef ribeye steak", "chicken breast", "salmon", "carrots", "egg", "pork shoulder", "sirloin"),
    "thick": ("30 mm", "1 1/2 in", "22 mm x2, 38 mm x4", "20-40 mm step 20", "3 cm"),
    "want": ("medium rare", "57 C", "134 F", "tender", "62,5 °C"),
    "set": ("57-61 C step 2", "56 C", "62 C"),
    "eat": ("2027-03-12T19:30", "2027-03-14 18:00", "19:30", "tomorrow 18:00", "2027-10-31T02:30"),
    "at": ("", "now", "20 min ago", "11:30", "yesterday 18:05", "2027-03-12T11:30"),
    "begin": ("2027-03-14T14:00", "Sun 14:00"),
    "done": ("", "Sun 19:00"),
    "days": ("Mon to Fri", "Mon 2, Wed 3"),
    "mass": ("280 g", "1 lb 2 oz", "2 kg"),
    "pieces": ("1", "2", "12"),
    "state": ("fridge", "frozen", "room"),
    "shape": ("slab", "bar", "brick", "cylinder", "short-cylinder", "ball"),
    "handling": ("intact", "minced", "rolled"),
    "bath": ("", "2 h", "90 min", "36 h", "2"),
    "start": ("4 C", "-18 C"),
    "zone": ("Europe/Paris", "America/New_York", "UTC"),
    "rules": ("US", "UK", "AU"),
    "units": ("metric", "us"),
    "guests": ("", "risk"),
    "eaters": ("6", "4, 2 small"),
    "paid": ("32/kg", "9.99/lb"),
    "price": ("0.30 EUR",),
    "vessel": ("40 cm x 30 cm x 20 cm", "soup pot", "24 cm x 14 cm"),
    "heater": ("1.1 kW, 8 cm to 18 cm",),
    "cover": ("none", "loose-lid", "film"),
    "litres": ("12 l", "3 gal"),
    "ice": ("7 h, 3 kg", "0.3 C", "2 kg"),
    "salt": ("1 %", "1.2"),
    "fridge": ("4 C", "40 F"),
    "paper": ("a4", "letter", "a5", "a3"),
    "count": ("1", "12"),
    "revision": tuple("123456"),
    "happening": ("dropped in", "pulled", "note", "set point changed", "topped up", "bath was off", "served"),
    "place": ("core", "bath"),
    "value": ("57 C", "54.2", "130 F"),
    "step": ("bag", "cook", "chill", "keep", "reheat", "probe"),
    "measured": ("09:45 60.4 C\n10:58 61.9 C", "3.6 C", "09:00 3.6"),
    "began": ("08:30", "yesterday 9:00"),
    "ended": ("11:00",),
    "by": ("JM",),
    "from": ("2027-03-01",),
    "to": ("2027-03-12",),
    "cook": ("1", "2", "99"),
    "corrects": ("1", "2"),
    "asleep": ("23:00-07:00", "never"),
    "add": ("course", "dish", "bath", "food"),
    "remove": ("1", "d1", "c1", "b1"),
    "ahead": ("may", "never", "must"),
    "language": ("en", "de", "fr", "es"),
    "code": ("ABCD-2345",),
    "tender": ("-2", "0", "2"),
    "note": ("a bit dry, chewy",),
    "probe": ("0.3 C", "-0.5 K"),
    "altitude": ("2600 m", "5000 ft"),
    "humidity": ("40 %",),
    "cook1": ("food=salmon&thick=25+mm&want=52+C&eat=2027-03-12T19:30&zone=Europe/Paris",),
    "vessel-size": ("24 cm x 14 cm",),
    "vessel-name": ("pot",),
    "vessel-wall": ("steel",),
    "heater-power": ("1.1 kW",),
    "heater-marks": ("9 cm to 12 cm",),
}
# What breaks parsers: signs, other digits, far numbers, far times, markup, bytes of other sorts.
ODD = (
    "0", "-1", "1e999", "-0.0", "nan", "inf", "1e-320", "9" * 40, "٣", "½", "1/0", "1/2/3", "1,5,5", "1_000",
    "0x1f", " ", "\t", "\n", "\x00", "\u200f", "\ufeff", "é" * 90, "x" * 300, "%00", "%", "&", "=", "<b>",
    "{60|C}", "{", "}", "{x|C}", "\\", "'", '"', "../..", "25:61", "24:00", "0001-01-01T00:00",
    "9999-12-31T23:59", "2027-02-30", "2027-03-28T02:30", "-99999 min", "99999999 h", "in 1e9 h", "1e9 h ago",
    "-273.16 C", "1e30 C", "99999 F", "1e-9 mm", "1e9 km", "0 kg", "1e300 kg", "-5 g", "1 to 0",
    "10-5 mm step 0", "1-9 mm step 1e-9", "Mon to", "to", "x", "x2", "5 mm x0", "5 mm x9999999", ",", ", ,",
    ";;", "Europe/Nowhere", "../etc/localtime", "UTC+25", "\ud7ff", "\U0001f969",
)  # fmt: skip


def answers(name: str) -> st.SearchStrategy[str]:
    """What may stand in the answer of a name ("thick", "l1.thick"): good, good with something on, odd, or anything."""
    good = GOOD.get(name.rpartition(".")[2], ("", "1", "yes", "no"))
    well = st.sampled_from(good)
    return st.one_of(
        well, well, well, st.sampled_from(ODD), st.builds("".join, st.tuples(well, st.sampled_from(ODD))), text(40)
    )


def text(most: int = 120) -> st.SearchStrategy[str]:
    """Any text that can be sent."""
    return st.text(st.characters(codec="utf-8"), max_size=most)
