"""A plan's run sheet as a calendar file."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from corebath.plan.plan import Plan
from corebath.units import Preference

from .asking import refuse
from .writing import why_not_written


def write_calendar(plan: Plan, preference: Preference, path: Path) -> None:
    """Write the run sheet of a plan that works; leaves with exit code 2 when it cannot be written."""
    # Slow to load, and most plans are not written to a calendar.
    from corebath.plan.ends import make_ends
    from corebath.show.calendar import plan_calendar

    written = plan_calendar(plan, datetime.now(UTC), preference, tasks=make_ends(plan).run_sheet)
    try:
        path.write_bytes(written)
    except OSError as error:
        refuse([f"The calendar could not be written: {why_not_written(error)}."])
