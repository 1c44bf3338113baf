"""A whole sear: side after side on the hot face, then the rest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from corebath.heat.body import Body, Shape
from corebath.heat.conduction import cook
from corebath.heat.grid import Array
from corebath.heat.history import History
from corebath.heat.material import Material
from corebath.heat.stage import Stage
from corebath.sear.contact import Contact, Face, Meat, press
from corebath.sear.hot import HotFace
from corebath.sear.slab import Slab, shell_count
from corebath.sear.tables import settings
from corebath.units import between

_REST_STEP_s = 1.0
THINNEST_m, THICKEST_m = 0.004, 0.120


@dataclass(frozen=True, slots=True)
class Setup:
    """A piece about to be seared; it counts as a slab of its thickness, the rim left out.

    thickness_m : 4 to 120 mm [m];  material : warm properties;  meat_water : mass fraction, 0.3 to 0.9 [-]
    start_C : one temperature, or the field of a slab from `heat.conduction.cook`, core first, 4 shells or
        more, -2 to 95 [degC]
    core_result_C : the core the bath was set for; the grey band is what ends up hotter, 30 to 95 [degC]
    hot : what it is seared on
    film_kg_m2 : water lying on each face, 0 to 2 [kg/m2]; 0.1 kg/m2 is a film of 0.1 mm
    side_s : time on each side, 1 to 300, or None to stay until it has its crust [s]
    flip_every_s : turn it this often, 2 to 300, or None to sear one side after the other [s]
    rest_s : time in the air afterwards, 0 to 3600 [s];  room_C : the air, -20 to 50 [degC]
    boiling_C : where water boils here, 80 to 101 [degC]

    Raises ValueError outside those ranges.
    """

    thickness_m: float
    material: Material
    meat_water: float
    start_C: float | Array
    core_result_C: float
    hot: HotFace
    film_kg_m2: float
    side_s: float | None = None
    flip_every_s: float | None = None
    rest_s: float = 300.0
    room_C: float = 20.0
    boiling_C: float = 100.0

    def __post_init__(self) -> None:
        start = np.asarray(self.start_C, dtype=np.float64)
        if start.ndim > 1 or (start.ndim == 1 and start.size < 4):
            raise ValueError("the start must be one temperature or the field of a slab with 4 or more shells")
        longest = settings()["limits"]["longest_side_s"]
        ranges: tuple[tuple[str, float, float, float, str], ...] = (
            ("the thickness", self.thickness_m, THINNEST_m, THICKEST_m, "m"),
            ("the water in the meat", self.meat_water, 0.3, 0.9, "of its mass"),
            ("the coldest start", float(start.min()), -2.0, 95.0, "C"),
            ("the hottest start", float(start.max()), -2.0, 95.0, "C"),
            ("the core result", self.core_result_C, 30.0, 95.0, "C"),
            ("the water on the surface", self.film_kg_m2, 0.0, 2.0, "kg/m2"),
            ("the time on a side", longest if self.side_s is None else self.side_s, 1.0, longest, "s"),
            ("the time between turns", 2.0 if self.flip_every_s is None else self.flip_every_s, 2.0, longest, "s"),
            ("the rest", self.rest_s, 0.0, 3600.0, "s"),
            ("the room", self.room_C, -20.0, 50.0, "C"),
            ("the boiling point", self.boiling_C, 80.0, 101.0, "C"),
        )
        for name, value, low, high, unit in ranges:
            between(name, value, low, high, unit)


@dataclass(frozen=True, slots=True)
class SearRun:
    """One sear at one set of coefficients.

    crust_s : contact each side needed for its crust, None where it got none [s]
    side_s : contact each side had [s]
    surface_s : how much of it each face was at the surface rule's temperature or above [s]
    band_m : grey band below each side [m]; half the thickness, which is no measured depth, when `through`
    through : the whole thickness ended up in the band
    core_peak_C, core_rise_K : hottest core, rest included, and its rise over the start's core
    core_served_C : hottest core once the sear is over; its end where there is no rest [degC]
    depth_m, peak_C : hottest each depth ever was, from side one to side two, shape (n,)
    outer_peak_C : hottest outside of the dried layer;  hot_low_C : coldest the hot face got [degC]
    dried_m : dried depth on each side [m]
    film_share, crust_share, food_share : where the heat given went, sums to 1 [-]
    history : core (mid-plane), mean, heated face and hot face or air against time
    """

    crust_s: tuple[float | None, float | None]
    side_s: tuple[float, float]
    surface_s: tuple[float, float]
    band_m: tuple[float, float]
    through: bool
    core_peak_C: float
    core_rise_K: float
    core_served_C: float
    depth_m: Array
    peak_C: Array
    outer_peak_C: float
    hot_low_C: float
    dried_m: tuple[float, float]
    film_share: float
    crust_share: float
    food_share: float
    history: History


def chilled_start(thickness_m: float, material: Material, core_C: float, medium: Stage) -> Array:
    """The field of an evenly warm slab after a stage of cooling, core first, for `Setup.start_C` [degC]."""
    return cook(Body(Shape.SLAB, thickness_m), material, core_C, [medium]).field_C


def run_sear(setup: Setup, h_W_m2K: float, crust_k_W_mK: float) -> SearRun:
    """Sear both sides and rest.

    h_W_m2K : contact with the hot face [W/(m2 K)];  crust_k_W_mK : conductivity of the dried layer
    """
    figures = settings()
    slab = Slab(setup.thickness_m, setup.material, setup.room_C, figures["room_air"]["h_W_m2K"])
    meat = Meat(
        slab=slab,
        water_kg_m3=setup.meat_water * setup.material.rho_kg_m3,
        crust_k_W_mK=crust_k_W_mK,
        boiling_C=setup.boiling_C,
        crust_m=figures["crust_depth"]["dried_m"],
        brown_C=figures["browning"]["nominal_C"],
    )
    field = _whole_field(setup)
    water = figures["water"]
    film = setup.film_kg_m2 * (water["latent_J_kg"] + water["cp_J_kgK"] * (setup.boiling_C - float(field[-1])))
    side = _Sides(setup, meat, h_W_m2K, field, Face(film, 0.0))
    side.sear()
    return side.rested()


class _Sides:
    """Turns the piece and keeps what each contact did. The heated side is always the last shell."""

    def __init__(self, setup: Setup, meat: Meat, h_W_m2K: float, field_C: Array, face: Face) -> None:
        self.setup, self.meat, self.h = setup, meat, h_W_m2K
        self.field, self.faces, self.down = field_C, [face, face], 0
        self.peak = field_C.copy()
        self.hot_C = setup.hot.face_C
        self.spent, self.crust = [0.0, 0.0], [None, None]  # type: list[float], list[float | None]
        self.contacts: list[tuple[int, Contact]] = []

    def sear(self) -> None:
        longest = settings()["limits"]["longest_side_s"] if self.setup.side_s is None else self.setup.side_s
        turn = longest if self.setup.flip_every_s is None else min(self.setup.flip_every_s, longest)
        while any(self._wants(i, longest) for i in (0, 1)):
            if self._wants(self.down, longest):
                self._press(min(turn, longest - self.spent[self.down]))
            self._turn()

    def _wants(self, i: int, longest: float) -> bool:
        crusted = self.setup.side_s is None and self.crust[i] is not None
        return not crusted and self.spent[i] < longest - 1e-9

    def _press(self, seconds: float) -> None:
        i, stop = self.down, self.setup.side_s is None
        was = self.spent[i]
        contact = press(self.meat, self.setup.hot, self.hot_C, self.h, self.field, self.faces[i], seconds, stop)
        self.contacts.append((i, contact))
        self.field, self.faces[i] = contact.field_C[-1], contact.face
        self.hot_C = float(contact.hot_C[-1])
        self.spent[i] += float(contact.time_s[-1])
        if self.crust[i] is None and contact.done_s is not None:
            self.crust[i] = was + contact.done_s
        self.peak = np.maximum(self.peak, contact.field_C.max(axis=0))

    def _turn(self) -> None:
        self.field, self.peak, self.down = self.field[::-1], self.peak[::-1], 1 - self.down

    def rested(self) -> SearRun:
        """The rest, and all readings. Side two is seared last; side one is turned to the front again."""
        if self.down == 1:
            self._turn()
        rows, core = self._rows()
        start_core = float(core[0])
        served_C = float(core[-1])
        if self.setup.rest_s > 0:
            row, core_at_rest = self._rest(rows[-1][0][-1] if rows else 0.0)
            rows.append(row)
            served_C = max(served_C, float(core_at_rest.max()))
            core = np.concatenate([core, core_at_rest])
        return self._readings(self.peak[::-1], core, (start_core, served_C), rows)

    def _rest(self, offset_s: float) -> tuple[tuple[Array, Array, Array, Array], Array]:
        slab, air = self.meat.slab, self.setup.room_C
        step = self.setup.rest_s / max(1, np.ceil(self.setup.rest_s / _REST_STEP_s))
        times = np.arange(step, self.setup.rest_s + step / 2, step)
        fields = np.empty((times.size, self.field.size))
        for i in range(times.size):
            self.field, _ = slab.trade(self.field, step, air, 1 / slab.air_h_W_m2K)
            fields[i] = self.field
        self.peak = np.maximum(self.peak, fields.max(axis=0))
        face = np.array([slab.face_C(f, air, 1 / slab.air_h_W_m2K) for f in fields])
        row = (offset_s + times, fields.mean(axis=1), face, np.full(times.size, air))
        return row, _core(fields)

    def _surface_s(self, side: int) -> float:
        limit = settings()["surface_rule"]["temperature_C"]
        mine = (c for i, c in self.contacts if i == side)
        return float(sum(np.diff(c.time_s)[c.face_C[1:] >= limit].sum() for c in mine))

    def _rows(self) -> tuple[list[tuple[Array, Array, Array, Array]], Array]:
        offset, rows, cores = 0.0, [], []
        for _, c in self.contacts:
            rows.append((offset + c.time_s, c.field_C.mean(axis=1), c.face_C, c.hot_C))
            cores.append(_core(c.field_C))
            offset += float(c.time_s[-1])
        return rows, np.concatenate(cores)

    def _readings(
        self,
        peak: Array,
        core: Array,
        start_and_served_C: tuple[float, float],
        rows: list[tuple[Array, Array, Array, Array]],
    ) -> SearRun:
        setup, contacts = self.setup, [c for _, c in self.contacts]
        count = peak.size
        depth = (np.arange(count) + 0.5) / count * setup.thickness_m
        limit = setup.core_result_C + settings()["grey_band"]["excess_K"]
        bands = (_band(depth, peak, limit), _band(depth, peak[::-1], limit))
        spent = [sum(getattr(c, name) for c in contacts) for name in ("film_J_m2", "crust_J_m2", "food_J_m2")]
        total = sum(spent) or 1.0
        times, mean, face, around = (np.concatenate(column) for column in zip(*rows, strict=True))
        names = [f"sear side {'one' if i == 0 else 'two'}" for i, _ in self.contacts]
        names += ["rest"] if len(rows) > len(names) else []
        return SearRun(
            crust_s=(self.crust[0], self.crust[1]),
            side_s=(self.spent[0], self.spent[1]),
            surface_s=(self._surface_s(0), self._surface_s(1)),
            band_m=bands,
            through=bool(peak.min() > limit),
            core_peak_C=float(core.max()),
            core_rise_K=float(core.max()) - start_and_served_C[0],
            core_served_C=start_and_served_C[1],
            depth_m=depth,
            peak_C=peak,
            outer_peak_C=max(float(c.outer_C.max()) for c in contacts),
            hot_low_C=min(float(c.hot_C.min()) for c in contacts),
            dried_m=(self.faces[0].dried_m, self.faces[1].dried_m),
            film_share=spent[0] / total,
            crust_share=spent[1] / total,
            food_share=spent[2] / total,
            history=History(
                time_s=times,
                core_C=core,
                mean_C=mean,
                surface_C=face,
                ambient_C=around,
                stage=np.concatenate([np.full(row[0].size, i, dtype=np.intp) for i, row in enumerate(rows)]),
                stage_names=tuple(names),
            ),
        )


def _core(fields_C: Array) -> Array:
    """The mid-plane of fields of shape (t, n), by even symmetry of its neighbours, shape (t,) [degC]."""
    middle = fields_C.shape[1] // 2
    return np.asarray(
        9 / 16 * (fields_C[:, middle - 1] + fields_C[:, middle])
        - 1 / 16 * (fields_C[:, middle - 2] + fields_C[:, middle + 1])
    )


def _whole_field(setup: Setup) -> Array:
    """The start on shells over the whole thickness."""
    count = shell_count(setup.thickness_m)
    start = np.asarray(setup.start_C, dtype=np.float64)
    if start.ndim == 0:
        return np.full(count, float(start))
    have, want = ((np.arange(n) + 0.5) / n for n in (start.size, count // 2))
    half = np.interp(want, have, start)
    return np.concatenate([half[::-1], half])


def _band(depth_m: Array, peak_C: Array, limit_C: float) -> float:
    """How deep below the first shell's side the peak is above a limit; to the middle when it is so throughout [m]."""
    below = np.flatnonzero(peak_C <= limit_C)
    if below.size == 0:
        return float(depth_m[0] + depth_m[-1]) / 2
    j = int(below[0])
    if j == 0:
        return 0.0
    share = (peak_C[j - 1] - limit_C) / (peak_C[j - 1] - peak_C[j])
    return float(depth_m[j - 1] + share * (depth_m[j] - depth_m[j - 1]))
