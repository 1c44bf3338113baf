"""The kitchen, the clock and the window sizes of the screen tests."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from corebath.log.gear import Kitchen

NOW = datetime(2027, 3, 12, 11, 0, tzinfo=UTC)
KITCHEN = Kitchen(zone=ZoneInfo("Europe/Paris"))
PHONE, LAPTOP = {"width": 390, "height": 844}, {"width": 1280, "height": 800}
