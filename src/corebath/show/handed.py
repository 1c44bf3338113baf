"""What may be handed on: only a plan that works, and only letters that can be printed."""

from __future__ import annotations

from corebath.plan.plan import Plan


class NotHandedOn(ValueError):  # noqa: N818 - it is the plan that is not handed on
    """A plan that nobody should follow on paper; the message is one sentence."""


def only_working(plan: Plan) -> None:
    """Raise NotHandedOn for a plan that does not work."""
    if not plan.works:
        raise NotHandedOn(
            "This plan does not work as asked, so it is not handed on: choose one of the plans that would work first."
        )
