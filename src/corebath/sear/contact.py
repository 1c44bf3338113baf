"""One face of a piece on one hot face, for a while.

First the face warms until it is at boiling. From then on the meat is held at boiling just below its dry layer,
and what the hot face gives beyond what the meat takes boils water away: the film that lies on the surface
first, then the meat's own, so that a dried layer grows and keeps the rest of the heat out more and more.
The dried layer's own heat and the thickness it takes from the piece are left out; both are a few percent.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from corebath.heat.grid import Array
from corebath.sear.hot import HotFace
from corebath.sear.slab import Slab
from corebath.sear.tables import settings

_WARM_STEP_s, _BOIL_STEP_s = 0.1, 0.5


@dataclass(frozen=True, slots=True)
class Meat:
    """What the crust needs to know.

    slab : the piece;  water_kg_m3 : its own water [kg/m3];  crust_k_W_mK : conductivity of the dried layer
    boiling_C : where its water boils here [degC];  crust_m, brown_C : a crust is this deep dried and this hot
    """

    slab: Slab
    water_kg_m3: float
    crust_k_W_mK: float
    boiling_C: float
    crust_m: float
    brown_C: float


@dataclass(frozen=True, slots=True)
class Face:
    """One face between contacts. film_J_m2 : heat still to go into its water film;  dried_m : dried depth."""

    film_J_m2: float
    dried_m: float
    browned: bool = False


@dataclass(frozen=True, slots=True)
class Contact:
    """What one contact did; arrays against time, shape (t,) or (t, n).

    time_s [s];  field_C, face_C : below the dried layer;  hot_C : the hot face;  outer_C : outside of the
    dried layer [degC];  face : its state at the end;  done_s : when it had its crust, or None [s]
    film_J_m2, crust_J_m2, food_J_m2 : where the heat went [J/m2]
    """

    time_s: Array
    field_C: Array
    face_C: Array
    hot_C: Array
    outer_C: Array
    face: Face
    done_s: float | None
    film_J_m2: float
    crust_J_m2: float
    food_J_m2: float


def press(
    meat: Meat, hot: HotFace, hot_C: float, h_W_m2K: float, field_C: Array, face: Face, longest_s: float, stop: bool
) -> Contact:
    """Lay a face (the last shell of `field_C`) on a hot face.

    hot_C : the hot face's temperature now [degC];  longest_s : how long [s];  stop : lift it once it has its
    crust. A face that never boils dries by nothing: drying below boiling is left out.
    """
    log = _Log(meat, hot, h_W_m2K, hot_C, field_C, face)
    while longest_s - log.now > 1e-9 and log.face_C[-1] < meat.boiling_C:
        log.warm(min(_WARM_STEP_s, longest_s - log.now))
    while longest_s - log.now > 1e-9 and not (stop and log.done is not None):
        log.boil(min(_BOIL_STEP_s, longest_s - log.now))
    return log.contact()


class _Log:
    """Marches one contact and keeps its rows."""

    def __init__(self, meat: Meat, hot: HotFace, h_W_m2K: float, hot_C: float, field_C: Array, face: Face) -> None:
        self.meat, self.hot, self.h = meat, hot, h_W_m2K
        self.film, self.dried, self.browned = face.film_J_m2, face.dried_m, face.browned
        self.now, self.done = 0.0, 0.0 if face.browned else None
        self.per_m3 = meat.water_kg_m3 * settings()["water"]["latent_J_kg"]
        self.spent = [0.0, 0.0, 0.0]
        self.times, self.fields = [0.0], [field_C]
        self.face_C = [float(field_C[-1])]
        self.hot_C, self.outer_C = [hot_C], [float(field_C[-1])]

    @property
    def resistance(self) -> float:
        """Contact and dried layer in a row [m2 K/W]."""
        return 1 / self.h + self.dried / self.meat.crust_k_W_mK

    def warm(self, step_s: float) -> None:
        """Towards boiling: the face takes what comes."""
        slab, hot, resistance = self.meat.slab, self.hot_C[-1], self.resistance
        field, taken = slab.trade(self.fields[-1], step_s, hot, resistance)
        self.spent[2] += taken
        face_C = min(slab.face_C(field, hot, resistance), self.meat.boiling_C)
        self._row(step_s, field, face_C, self._cooled(hot, taken, step_s))

    def boil(self, step_s: float) -> None:
        """At boiling: what the meat does not take boils water away."""
        hot, boiling = self.hot_C[-1], self.meat.boiling_C
        field, taken = self.meat.slab.hold(self.fields[-1], step_s, boiling)
        given = self._given(hot, taken, step_s)
        self._dry(max(given - taken, 0.0))
        self.spent[2] += taken
        self._row(step_s, field, boiling, self._cooled(hot, given, step_s))

    def contact(self) -> Contact:
        """The rows as arrays."""
        return Contact(
            time_s=np.array(self.times),
            field_C=np.array(self.fields),
            face_C=np.array(self.face_C),
            hot_C=np.array(self.hot_C),
            outer_C=np.array(self.outer_C),
            face=Face(self.film, self.dried, self.browned),
            done_s=self.done,
            film_J_m2=self.spent[0],
            crust_J_m2=self.spent[1],
            food_J_m2=self.spent[2],
        )

    def _given(self, hot_C: float, taken_J_m2: float, step_s: float) -> float:
        """Heat through film, or through the dried layer as it grows within the step (midpoint rule)."""
        above = hot_C - self.meat.boiling_C
        first = max(above, 0.0) / self.resistance * step_s
        drying = max((first - taken_J_m2) / 2 - self.film, 0.0)
        middle = self.resistance + drying / self.per_m3 / self.meat.crust_k_W_mK
        return float(max(above, 0.0) / middle * step_s)

    def _dry(self, heat_J_m2: float) -> None:
        into_film = min(heat_J_m2, self.film)
        self.film -= into_film
        self.dried += (heat_J_m2 - into_film) / self.per_m3
        self.spent[0] += into_film
        self.spent[1] += heat_J_m2 - into_film

    def _cooled(self, hot_C: float, given_J_m2: float, step_s: float) -> float:
        supply = self.hot.supply_W_m2 - self.hot.loss_W_m2K * (hot_C - self.hot.room_C)
        return hot_C + (supply * step_s - given_J_m2) / self.hot.store_J_m2K

    def _row(self, step_s: float, field_C: Array, face_C: float, hot_C: float) -> None:
        self.now += step_s
        outer = hot_C - (hot_C - face_C) / self.resistance / self.h
        if self.done is None and self.dried >= self.meat.crust_m and outer >= self.meat.brown_C:
            self.done, self.browned = self.now, True
        self.times.append(self.now)
        self.fields.append(field_C)
        self.face_C.append(face_C)
        self.hot_C.append(hot_C)
        self.outer_C.append(outer)
