"""Keeping alone: how many days, by which rule, how long it takes to freeze, and what goes on the bag."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from corebath.chill.freeze import Freeze, freeze
from corebath.chill.keep import Keeping, Label, keep, label
from corebath.food.catalogue import Food
from corebath.food.kinds import Handling
from corebath.plan.known import KnownPiece
from corebath.plan.tell import check_pasteurised
from corebath.safety.authority import Authority
from corebath.safety.finding import Finding, Verdict
from corebath.safety.subject import Subject

_GIVEN = "pasteurised as given, not checked here"


@dataclass(frozen=True, slots=True)
class KeepRequest:
    """What is asked of the keeping.

    fridge_C : as measured between the bags, None when it was not [degC];  pasteurised, opened : see `chill.keep`
    garlic_or_oil : raw garlic, herbs or oil are in the bag;  handling : None takes the catalogue's default
    day : the day of cooking;  today : the day of asking, None to leave it out
    cooked_C, cooked_s : set point and time in the bath, for the label [degC], [s]
    offset_K : what the bath's thermometer reads too high [K]
    piece : its body, for the freezer; None when no size was told

    Raises BadRequest for a piece told to be pasteurised that its set point cannot have pasteurised.
    """

    food: Food
    authority: Authority
    day: date
    fridge_C: float | None = None
    pasteurised: bool = False
    guests_at_risk: bool = False
    opened: bool = False
    garlic_or_oil: bool = False
    cooked_C: float | None = None
    cooked_s: float | None = None
    piece: KnownPiece | None = None
    today: date | None = None
    handling: Handling | None = None
    offset_K: float = 0.0

    def __post_init__(self) -> None:
        if self.pasteurised and self.cooked_C is not None:
            check_pasteurised(self.subject, self.authority, self.cooked_C - self.offset_K)

    @property
    def subject(self) -> Subject:
        """What the rules need to know."""
        handling = self.food.default_handling if self.handling is None else self.handling
        return Subject(
            kind=self.food.kind,
            handling=handling,
            fat=self.food.composition.fat,
            guests_at_risk=self.guests_at_risk,
            parasites_frozen=True,
            garlic_or_oil=self.garlic_or_oil,
        )


@dataclass(frozen=True, slots=True)
class KeepAnswer:
    """The answer. label : None without set point and time;  freeze : None without a size"""

    request: KeepRequest
    keeping: Keeping
    use_by: date
    label: Label | None
    freeze: Freeze | None
    findings: tuple[Finding, ...]
    statements: tuple[str, ...]


def answer_keep(request: KeepRequest) -> KeepAnswer:
    """Keep a piece. Raises ValueError outside the range of a part."""
    keeping = keep(
        request.authority,
        fridge_C=request.fridge_C,
        pasteurised=request.pasteurised,
        guests_at_risk=request.guests_at_risk,
        opened=request.opened,
        # The core cannot have been hotter than its bath.
        hottest_C=None if request.cooked_C is None else request.cooked_C - request.offset_K,
        spores=request.garlic_or_oil,
    )
    use_by = keeping.use_by(request.day)
    over = None if request.today is None or use_by >= request.today else _over(use_by, request.today)
    tag = None
    if request.cooked_C is not None and request.cooked_s is not None and keeping.rule is not None and over is None:
        tag = label(
            request.food.name, cooked_C=request.cooked_C, cooked_s=request.cooked_s, cooked=request.day,
            keeping=keeping, treatment=_GIVEN if request.pasteurised else "",
        )  # fmt: skip
    frozen = None
    if request.piece is not None and over is None:
        piece = request.piece
        frozen = freeze(piece.body, piece.thermal(1.0), keeping.fridge_C, layers=piece.layers)
    given = ("That it was pasteurised is taken as given and not checked here.",) if request.pasteurised else ()
    said = (*keeping.statements, *given, *keeping.cautions, *(() if frozen is None else frozen.statements))
    if over is not None:
        said = (over.why, *keeping.cautions)
    findings = keeping.findings if over is None else (*keeping.findings, over)
    return KeepAnswer(request, keeping, use_by, tag, frozen, findings, said)


def _over(use_by: date, today: date) -> Finding:
    """A piece whose last day has passed."""
    return Finding(
        rule="keep-use-by",
        title="eaten by its last day",
        verdict=Verdict.NOT_MET,
        binding=True,
        why=f"Its last day was {use_by.isoformat()}, and today is {today.isoformat()}: throw it out.",
        source="the keeping rule named here",
        assumptions=("It was not frozen meanwhile.",),
    )
