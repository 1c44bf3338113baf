"""What a bath loses to the room: vapour, warm air, radiation, and heat through walls and cover.

Free convection over the water by the plate form, evaporation by the analogy of heat and mass transfer without
the Stefan factor, in a draught joined with the laminar flat-plate form. Published correlations of evaporation
differ from measurements by about 20 % (Shah 2002), so every loss carries that range; the full Stefan factor
bounds it from above where water is hot.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from corebath.bath import water as w
from corebath.bath.files import number, table
from corebath.bath.gear import Bath, Room
from corebath.bath.spread import Spread

Array = NDArray[np.float64]
End = Literal["nominal", "low", "high"]
ENDS: tuple[End, ...] = ("nominal", "low", "high")
_PASSES, _SETTLED_K = 60, 1e-5  # of the fixed point for a wall's outer temperature
_CURVE_POINTS = 61


@dataclass(frozen=True, slots=True)
class Losses:
    """Heat and water leaving a bath at one temperature.

    evaporation_W, convection_W, radiation_W : from the open water, nominal [W]
    cover_W, wall_W, base_W : through cover, sides and floor, nominal [W]
    total_W : all of them, with range [W]
    water_loss_kg_h : water that leaves as vapour, with range; below 0 when moisture of the room settles [kg/h]
    """

    evaporation_W: float
    convection_W: float
    radiation_W: float
    cover_W: float
    wall_W: float
    base_W: float
    total_W: Spread
    water_loss_kg_h: Spread


@dataclass(frozen=True, slots=True)
class Surface:
    """Fluxes from open water, shape (n,) each.

    h_conv_W_m2K, h_mass_m_s : coefficients [W/(m2 K)], [m/s]
    evaporation_kg_m2s, convection_W_m2, radiation_W_m2 : fluxes out of the water [kg/(m2 s)], [W/m2]
    stefan : factor by which outflow of vapour would raise evaporation at most [-]
    """

    h_conv_W_m2K: Array
    h_mass_m_s: Array
    evaporation_kg_m2s: Array
    convection_W_m2: Array
    radiation_W_m2: Array
    stefan: Array


def open_surface(water_C: Array, room: Room, area_m2: float, perimeter_m: float) -> Surface:
    """Fluxes from an open water surface.

    water_C : shape (n,), 0 degC to a kelvin below boiling [degC]

    Plate forms of McAdams (Incropera ch. 9) with length area/perimeter and the Grashof number of moist-air
    densities; Ra 1e4 to 1e11, laminar below 1e7. Checked against tables of open tanks, 43 to 93 degC.
    """
    p, length = room.pressure_Pa, area_m2 / perimeter_m
    film = (water_C + room.air_C) / 2
    nu = w.air_kinematic_viscosity_m2_s(film, p)
    diffusivity = w.vapour_diffusivity_m2_s(film, p)
    over = w.moist_air_density_kg_m3(water_C, w.saturation_Pa(water_C), p)
    away = float(w.moist_air_density_kg_m3(room.air_C, room.vapour_Pa, p))
    grashof = number("gravity", "g_m_s2") * (away - over) / ((away + over) / 2) * length**3 / nu**2
    prandtl, schmidt = w.air_prandtl(film), nu / diffusivity
    reynolds = room.draught_m_s * sqrt(area_m2) / nu
    h_conv = _plate(grashof, prandtl, reynolds, length / sqrt(area_m2)) * w.air_conductivity_W_mK(film) / length
    h_mass = _plate(grashof, schmidt, reynolds, length / sqrt(area_m2)) * diffusivity / length
    vapour_away = room.vapour_Pa / (number("air", "R_vapour_J_kgK") * (room.air_C + w.ZERO_C_K))
    over_Pa = w.saturation_Pa(water_C)
    gap = np.where(np.abs(over_Pa - room.vapour_Pa) < 1.0, 1.0, over_Pa - room.vapour_Pa)
    stefan = np.where(
        np.abs(over_Pa - room.vapour_Pa) < 1.0, 1.0, p / gap * np.log((p - room.vapour_Pa) / (p - over_Pa))
    )
    return Surface(
        h_conv_W_m2K=h_conv,
        h_mass_m_s=h_mass,
        evaporation_kg_m2s=h_mass * (w.vapour_density_kg_m3(water_C) - vapour_away),
        convection_W_m2=h_conv * (water_C - room.air_C),
        radiation_W_m2=radiation_W_m2(water_C, room.air_C, number("radiation", "water_emissivity")),
        stefan=stefan,
    )


def radiation_W_m2(surface_C: Array, around_C: float, emissivity: float) -> Array:
    """Net radiation from a small surface to large surroundings [W/m2]."""
    fourth = (surface_C + w.ZERO_C_K) ** 4 - (around_C + w.ZERO_C_K) ** 4
    return emissivity * number("radiation", "stefan_boltzmann_W_m2K4") * fourth


def wall_convection_W_m2K(outer_C: Array, room: Room, height_m: float) -> Array:
    """Free convection on a vertical side [W/(m2 K)], Churchill and Chu 1975, joined with any draught."""
    film = (outer_C + room.air_C) / 2
    nu = w.air_kinematic_viscosity_m2_s(film, room.pressure_Pa)
    prandtl = w.air_prandtl(film)
    rayleigh = (
        number("gravity", "g_m_s2") * np.abs(outer_C - room.air_C) / (film + w.ZERO_C_K) * height_m**3 / nu**2 * prandtl
    )
    v = table("vertical")
    a, b, c = v["prandtl"]
    free = (v["constant"] + v["factor"] * rayleigh ** v["exponent"] / (1 + (a / prandtl) ** b) ** c) ** 2
    forced = _forced(room.draught_m_s * height_m / nu, prandtl)
    return _joined(free, forced) * w.air_conductivity_W_mK(film) / height_m


def losses(bath: Bath, water_C: float) -> Losses:
    """What the bath loses at a water temperature.

    water_C : 0 degC to a kelvin below boiling [degC]; else ValueError

    Range: 20 % either way (30 % in a draught) and the cover's range of open share; hot water is bounded above
    by the Stefan factor.
    """
    bath.check_water(water_C)
    at = np.array([water_C])
    fluxes = _Fluxes.of(bath, at)
    evaporation, convection, radiation, cover, wall, base = (
        float(part[0]) for part in fluxes.parts(bath.cover.open_share.nominal)
    )
    curves = [_curve(bath, end, at, fluxes) for end in ENDS]
    return Losses(
        evaporation_W=evaporation,
        convection_W=convection,
        radiation_W=radiation,
        cover_W=cover,
        wall_W=wall,
        base_W=base,
        total_W=Spread.of(*(float(c.heat_W[0]) for c in curves)),
        water_loss_kg_h=Spread.of(*(float(c.water_kg_s[0]) * 3600 for c in curves)),
    )


@dataclass(frozen=True, slots=True)
class LossCurve:
    """Losses of a bath against its temperature, for marching in time; shapes (n,).

    water_C : evenly rising [degC];  heat_W : all heat lost, evaporation included [W]
    water_kg_s : vapour leaving [kg/s]
    """

    water_C: Array
    heat_W: Array
    water_kg_s: Array

    @classmethod
    def of(cls, bath: Bath, end: End = "nominal") -> LossCurve:
        """The curve of a bath at the nominal losses, or at an end of their range."""
        return _curves(bath)[end]

    def at(self, water_C: float) -> tuple[float, float, float]:
        """Heat lost, its slope and the vapour leaving at a temperature [W], [W/K], [kg/s].

        Raises ValueError outside the curve.
        """
        step = float(self.water_C[1] - self.water_C[0])
        place = (water_C - float(self.water_C[0])) / step
        last = self.water_C.size - 2
        if not -1e-9 <= place <= last + 1 + 1e-9:
            raise ValueError(
                f"the bath left {self.water_C[0]:g} to {self.water_C[-1]:.4g} C, the range of liquid water here"
            )
        i = min(max(int(place), 0), last)
        rest = place - i
        slope = float(self.heat_W[i + 1] - self.heat_W[i]) / step
        heat = float(self.heat_W[i]) + rest * step * slope
        vapour = float(self.water_kg_s[i]) + rest * float(self.water_kg_s[i + 1] - self.water_kg_s[i])
        return heat, slope, vapour


@lru_cache(maxsize=64)
def _curves(bath: Bath) -> dict[End, LossCurve]:
    water_C = np.linspace(0.0, bath.room.boiling_C - 0.5, _CURVE_POINTS)
    fluxes = _Fluxes.of(bath, water_C)
    return {end: _curve(bath, end, water_C, fluxes) for end in ENDS}


def _curve(bath: Bath, end: End, water_C: Array, fluxes: _Fluxes) -> LossCurve:
    share = bath.cover.open_share
    if end == "nominal":
        return LossCurve(water_C, np.sum(fluxes.parts(share.nominal), axis=0), fluxes.vapour_kg_s(share.nominal))
    draughty = bath.room.draught_m_s > number("losses", "draughty_above_m_s")
    doubt = number("losses", "draught_share" if draughty else "still_share")
    sign = -1.0 if end == "low" else 1.0
    # Hot water may lose more by the Stefan factor, as far as that goes beyond the doubt already added.
    outflow = np.maximum(fluxes.surface.stefan - 1 - doubt, 0.0) if end == "high" else np.zeros_like(water_C)
    heats, vapours = [], []
    for open_share in (share.low, share.high):
        parts, vapour = fluxes.parts(open_share), fluxes.vapour_kg_s(open_share)
        heat = np.sum(parts, axis=0)
        heats.append(heat + sign * doubt * np.abs(heat) + np.maximum(parts[0], 0.0) * outflow)
        vapours.append(vapour + sign * doubt * np.abs(vapour) + np.maximum(vapour, 0.0) * outflow)
    extreme = np.minimum if end == "low" else np.maximum
    return LossCurve(water_C, extreme.reduce(heats), extreme.reduce(vapours))


@dataclass(frozen=True, slots=True)
class _Fluxes:
    """Losses by area before the cover's open share is known; shapes (n,), [W/m2] but for the last two, in W."""

    area_m2: float
    latent_J_kg: Array
    surface: Surface
    cover_W_m2: Array
    wall_W: Array
    base_W: Array

    @classmethod
    def of(cls, bath: Bath, water_C: Array) -> _Fluxes:
        vessel, room, cover = bath.vessel, bath.room, bath.cover
        height = bath.volume_m3(20.0) / vessel.area_m2
        wall = _through(
            water_C,
            room,
            vessel.wall.resistance_m2K_W + vessel.wrap_m2K_W,
            vessel.wall.emissivity,
            lambda outer: wall_convection_W_m2K(outer, room, height),
        )
        shut = np.zeros_like(water_C)
        if cover.open_share.low < 1:
            shut = _through(
                water_C,
                room,
                cover.resistance_m2K_W,
                cover.emissivity,
                lambda outer: _cover_convection(outer, bath),
            )
        base = number("losses", "base_U_W_m2K")
        base /= 1 + base * vessel.wall.resistance_m2K_W
        return cls(
            vessel.area_m2,
            w.latent_heat_J_kg(water_C),
            open_surface(water_C, room, vessel.area_m2, vessel.perimeter_m),
            shut,
            wall * vessel.perimeter_m * height,
            base * vessel.area_m2 * (water_C - room.air_C),
        )

    def vapour_kg_s(self, open_share: float) -> Array:
        return self.surface.evaporation_kg_m2s * (self.area_m2 * open_share)

    def parts(self, open_share: float) -> tuple[Array, Array, Array, Array, Array, Array]:
        """Evaporation, convection, radiation, cover, wall, base [W]."""
        open_m2 = self.area_m2 * open_share
        return (
            self.vapour_kg_s(open_share) * self.latent_J_kg,
            self.surface.convection_W_m2 * open_m2,
            self.surface.radiation_W_m2 * open_m2,
            self.cover_W_m2 * (self.area_m2 - open_m2),
            self.wall_W,
            self.base_W,
        )


def _cover_convection(outer_C: Array, bath: Bath) -> Array:
    """Free convection on top of a dry cover [W/(m2 K)]."""
    room, vessel = bath.room, bath.vessel
    length = vessel.area_m2 / vessel.perimeter_m
    film = (outer_C + room.air_C) / 2
    nu = w.air_kinematic_viscosity_m2_s(film, room.pressure_Pa)
    prandtl = w.air_prandtl(film)
    grashof = number("gravity", "g_m_s2") * (outer_C - room.air_C) / (film + w.ZERO_C_K) * length**3 / nu**2
    reynolds = room.draught_m_s * sqrt(vessel.area_m2) / nu
    nusselt = _plate(grashof, prandtl, reynolds, length / sqrt(vessel.area_m2))
    return nusselt * w.air_conductivity_W_mK(film) / length


def _through(
    water_C: Array, room: Room, resistance_m2K_W: float, emissivity: float, convection: Callable[[Array], Array]
) -> Array:
    """Heat through a wet-backed layer to the room [W/m2]; `convection` gives h at an outer temperature."""
    outer = water_C
    for _ in range(_PASSES):
        leaving = convection(outer) * (outer - room.air_C) + radiation_W_m2(outer, room.air_C, emissivity)
        h = np.where(np.abs(outer - room.air_C) < 1e-6, 1.0, leaving / _not_zero(outer - room.air_C))
        flux = (water_C - room.air_C) / (resistance_m2K_W + 1 / h)
        settled, outer = outer, water_C - flux * resistance_m2K_W
        if float(np.abs(outer - settled).max()) < _SETTLED_K:
            break
    return flux


def _not_zero(x: Array) -> Array:
    return np.where(np.abs(x) < 1e-6, 1.0, x)


def _plate(grashof: Array, property_number: Array, reynolds: Array, shrink: float) -> Array:
    """Nusselt or Sherwood number of a level plate seen from above, free and forced flow joined."""
    rayleigh = np.abs(grashof) * property_number
    p = table("plate")
    laminar, turbulent, cold = p["hot_up_laminar"], p["hot_up_turbulent"], p["cold_up"]
    rising = np.where(
        rayleigh < p["hot_up_switch_Ra"], laminar[0] * rayleigh ** laminar[1], turbulent[0] * rayleigh ** turbulent[1]
    )
    free = np.where(grashof >= 0, rising, cold[0] * rayleigh ** cold[1])
    return _joined(free, _forced(reynolds, property_number) * shrink)


def _forced(reynolds: Array, property_number: Array) -> Array:
    factor, re_power, pr_power = table("plate")["forced"]
    return np.asarray(factor * reynolds**re_power * property_number**pr_power)


def _joined(free: Array, forced: Array) -> Array:
    power = number("plate", "mixed_exponent")
    return np.asarray((free**power + forced**power) ** (1 / power))
