"""What the outcome models say of a cook, as one figure a quality: the coordinates taste is learned in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from math import isfinite, log, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from corebath.heat.material import Material
from corebath.outcome.doneness import doneness_bands, looks_like_C
from corebath.outcome.egg import yolk_time_s
from corebath.outcome.juiciness import cook_loss_pct, loss_bounds_pct, loss_spread_pct
from corebath.outcome.results import Result
from corebath.outcome.tenderness import (
    is_tough,
    shear_change_ln,
    shear_spread,
    tough_done_hours,
    tough_done_hours_at,
)
from corebath.outcome.vegetables import has_firmness, time_to_soften_s
from corebath.plan.data import defaults, pace_of
from corebath.sear.hot import pan
from corebath.sear.run import Setup, run_sear
from corebath.sear.tables import settings as sear_settings

from .settings import settings

Floats = NDArray[np.float64]
QUALITIES = ("tender", "juicy", "done", "crust", "salt")


def figures() -> dict[str, Any]:
    """Everything in `data/learn.toml`."""
    return settings("learn")


@dataclass(frozen=True, slots=True)
class Settings:
    """What a cook can set.

    set_point_C : bath [degC];  hours : at temperature, come-up not counted [h]
    come_up_s : time the core took to come within a kelvin of the bath [s]
    salt_percent : of the meat, None when not told [%]
    pan, pan_C, surface : the sear, in the plan's usual pan by default; surface is dry, patted or wet, or None when
        nothing was seared

    Raises ValueError unless the hours and the come-up can be.
    """

    set_point_C: float
    hours: float
    come_up_s: float
    salt_percent: float | None = None
    pan: str = field(default_factory=lambda: str(defaults()["sear"]["pan"]))
    pan_C: float = field(default_factory=lambda: float(defaults()["sear"]["face_C"]))
    surface: str | None = None

    def __post_init__(self) -> None:
        if not (isfinite(self.hours) and self.hours > 0 and isfinite(self.come_up_s) and self.come_up_s >= 0):
            raise ValueError("a cook that teaches anything was at temperature for some time")

    @property
    def bath_s(self) -> float:
        """From drop-in to pull [s]."""
        return self.come_up_s + 3600.0 * self.hours


@dataclass(frozen=True, slots=True)
class Measure:
    """How a quality of one food class is measured.

    step : of the drive for one rating step;  animal, bias, per_K, per_decade : standard deviations in steps of
    one animal, of the model's offset, and of its slopes with temperature [1/K] and hours [1/decade]
    taste, table, beyond : standard deviations of this cook's taste, of a rating, and what is added beyond the
    model's range, in steps
    """

    step: float
    animal: float
    bias: float
    per_K: float
    per_decade: float
    taste: float
    table: float
    beyond: float

    @property
    def noise(self) -> float:
        """Standard deviation of one rating about its expectation [steps]."""
        return sqrt(self.animal**2 + self.table**2)


def measure(quality: str, texture: str, kind: str) -> Measure | None:
    """How a quality is measured for a food class; None where no outcome model covers it."""
    table = figures()[quality]
    family: dict[str, Any] = table
    bias: float | None = table.get("spread")
    pace = pace_of(texture)
    if quality == "tender":
        name = _family(texture, kind)
        if name is None:
            return None
        family = table[name]
        bias = _tender_spread(name, texture, kind)
    elif quality == "juicy":
        bias = loss_spread_pct(kind)
    elif quality == "done":
        bias = bias if doneness_bands(texture) else None
    elif quality == "salt":
        bias = bias if pace.salt_share else None
    elif quality == "crust":
        bias = bias if pace.finish == "sear" else None
    if bias is None:
        return None
    step = float(family["step"])
    return Measure(
        step=step,
        animal=family["animal"] / step,
        bias=bias / step,
        per_K=family.get("per_K", 0.0) / step,
        per_decade=family.get("per_decade", 0.0) / step,
        taste=table["taste_steps"],
        table=table["table_steps"],
        beyond=table.get("beyond_steps", 0.0),
    )


def usual(texture: str, result: Result) -> Settings:
    """The middle of common practice for a result: where taste is expected before anything is known."""
    sear = defaults()["sear"]
    return Settings(
        set_point_C=result.set_point_C,
        hours=sqrt(result.hold_low_s * result.hold_high_s) / 3600.0,
        come_up_s=0.0,
        salt_percent=100 * pace_of(texture).salt_share or None,
        pan=sear["pan"],
        pan_C=sear["face_C"],
        surface=sear["surface"],
    )


def drive(quality: str, texture: str, kind: str, settings: Sequence[Settings]) -> tuple[Floats, NDArray[np.bool_]]:
    """The figure of a quality at each setting, shape (n,), larger is softer, juicier, more done, more of it.

    NaN where not known. The second array tells where the figure is the one at the edge of what was measured,
    because more heat or more hours than that were given.
    """
    T = np.array([s.set_point_C for s in settings])
    h = np.array([s.hours for s in settings])
    inside = np.zeros(T.shape, dtype=np.bool_)
    if quality == "juicy":
        return _juicy(kind, T, h)
    if quality == "tender":
        return _tender(texture, kind, T, h, np.array([s.bath_s for s in settings])), inside
    if quality == "done":
        return looks_like_C(T, h), inside
    if quality == "salt":
        return np.array([log(s.salt_percent) if s.salt_percent else np.nan for s in settings]), inside
    needs = [np.nan if s.surface is None else crust_need_s(s.pan, s.pan_C, s.surface) for s in settings]
    return -np.log(np.array(needs)), inside


@cache
def crust_need_s(material: str, pan_C: float, surface: str) -> float:
    """Contact a side needs for its crust, a standard steak in a pan [s]; NaN when it never gets one.

    Raises ValueError for a pan or a heat the sear room does not know.
    """
    f = figures()["crust"]
    setup = Setup(
        thickness_m=f["thickness_m"],
        material=Material(f["k_W_mK"], f["rho_kg_m3"], f["cp_J_kgK"]),
        meat_water=f["water"],
        start_C=f["start_C"],
        core_result_C=f["core_C"],
        hot=pan(material, face_C=pan_C, food_area_m2=f["food_area_m2"]),
        film_kg_m2=sear_settings()["film"][f"{surface}_kg_m2"],
    )
    times = run_sear(setup, setup.hot.h_W_m2K, sear_settings()["crust"]["nominal_k_W_mK"]).crust_s
    return max(np.nan if t is None else t for t in times)


def _family(texture: str, kind: str) -> str | None:
    if is_tough(texture):
        return "tough"
    if has_firmness(texture):
        return "soften"
    if kind == "egg":
        return "yolk"
    return "shear" if shear_spread(texture, kind) is not None else None


def _tender_spread(family: str, texture: str, kind: str) -> float | None:
    if family == "tough":
        centre, _, high = tough_done_hours(60.0)
        return log(high / centre)
    if family == "shear":
        spread = shear_spread(texture, kind)
        return None if spread is None else log(1.0 + spread)
    return float(figures()["tender"][family]["spread"])


def _tender(texture: str, kind: str, T: Floats, h: Floats, bath_s: Floats) -> Floats:
    family = _family(texture, kind)
    with np.errstate(divide="ignore"):
        if family == "tough":
            return np.asarray(np.log(h / tough_done_hours_at(T)))
        if family == "yolk":
            return np.asarray(-np.log(bath_s / yolk_time_s("honey", T)))
        if family == "soften":
            return np.array([_softened(texture, t, hours) for t, hours in zip(T, h, strict=True)])
    return np.full(T.shape, np.nan) if family is None else -shear_change_ln(T, h)


def _softened(texture: str, core_C: float, hours: float) -> float:
    try:
        return log(3600.0 * hours / time_to_soften_s(texture, float(core_C)))
    except ValueError:
        return float("nan")


def _juicy(kind: str, T: Floats, h: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    loss, beyond = cook_loss_pct(T, h, kind), np.zeros(T.shape, dtype=np.bool_)
    spread = loss_spread_pct(kind)
    for i in np.flatnonzero(np.isnan(loss)) if spread is not None else ():
        at_least, _ = loss_bounds_pct(float(T[i]), float(h[i]), kind)
        if at_least is not None and spread is not None and at_least > 0:
            loss[i], beyond[i] = at_least + spread, True
    return -loss, beyond
