"""What the piece is seared on: a pan with its metal and burner, a torch, or a grill.

Each is one hot face in front of the meat: its temperature, how well it gives heat, how much it has in store
and how much it is given.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import isfinite, log, pi, sqrt

from corebath.sear.tables import burners, metals, pick, settings

_STEFAN_BOLTZMANN_W_m2K4 = 5.670374419e-8  # exact since the 2019 SI
_ZERO_C = 273.15


@dataclass(frozen=True, slots=True)
class HotFace:
    """One hot face; all figures are for 1 m2 of food lying on it.

    method : "pan", "torch" or "grill"
    face_C : its temperature when the piece arrives [degC]
    h_W_m2K, h_low_W_m2K, h_high_W_m2K : how well it gives heat to the meat, with its range [W/(m2 K)]
    store_J_m2K : heat it gives up for each degree it falls; infinite for a flame or coals [J/(m2 K)]
    supply_W_m2 : heat it is given while in use [W/m2];  loss_W_m2K, room_C : what it loses to the room
    basis : one sentence on how well this is known
    """

    method: str
    face_C: float
    h_W_m2K: float
    h_low_W_m2K: float
    h_high_W_m2K: float
    store_J_m2K: float
    supply_W_m2: float
    loss_W_m2K: float
    room_C: float
    basis: str

    def at(self, face_C: float) -> HotFace:
        """The same face at another temperature when the piece arrives."""
        return replace(self, face_C=face_C)


def pan(
    material: str,
    *,
    face_C: float,
    food_area_m2: float,
    pan_diameter_m: float = 0.28,
    thickness_m: float | None = None,
    burner: str = "gas",
    burner_W: float = 2000.0,
    room_C: float = 20.0,
) -> HotFace:
    """A preheated pan on its burner.

    material : cast-iron, carbon-steel, stainless, aluminium or copper;  face_C : 60 to 350 [degC]
    food_area_m2 : the face of all pieces in the pan together, 5 cm2 up to the pan [m2]
    pan_diameter_m : 0.1 to 0.6 [m];  thickness_m : 0.5 to 20 mm; the material's usual one by default [m]
    burner : gas, electric or induction;  burner_W : 0 to 10000, on full while the food is in [W]

    Besides the metal under the food, metal within reach of conduction in a minute gives up its heat too.
    Raises ValueError outside those ranges.
    """
    metal = pick("pan material", material, metals())
    share = pick("burner", burner, burners())
    deep = metal.usual_m if thickness_m is None else thickness_m
    _within("the pan's temperature", face_C, 60.0, 350.0, "C")
    _within("the pan's diameter", pan_diameter_m * 1000, 100.0, 600.0, "mm")
    _within("the pan's thickness", deep * 1000, 0.5, 20.0, "mm")
    _within("the burner's power", burner_W, 0.0, 10_000.0, "W")
    _within("the room", room_C, -20.0, 50.0, "C")
    pan_m2 = pi / 4 * pan_diameter_m**2
    _within("the food's face", food_area_m2 * 1e4, 5.0, pan_m2 * 1e4, "cm2 (the pan)")
    contact = settings()["contact"]
    reach_m = sqrt(metal.k_W_mK / (metal.rho_kg_m3 * metal.cp_J_kgK) * settings()["minute"]["seconds"])
    serving_m2 = min(pan_m2, pi * (sqrt(food_area_m2 / pi) + reach_m) ** 2)
    ratio = serving_m2 / food_area_m2
    return HotFace(
        method="pan",
        face_C=face_C,
        h_W_m2K=contact["nominal_W_m2K"],
        h_low_W_m2K=contact["low_W_m2K"],
        h_high_W_m2K=contact["high_W_m2K"],
        store_J_m2K=metal.rho_kg_m3 * metal.cp_J_kgK * deep * ratio,
        supply_W_m2=share * burner_W / pan_m2 * ratio,
        loss_W_m2K=settings()["pan_air"]["h_W_m2K"] * ratio,
        room_C=room_C,
        basis=f"Contact of meat and metal: {contact['source']}.",
    )


def preheat_s(hot: HotFace) -> float | None:
    """Time for an empty pan on its full burner to come from the room to its temperature [s].

    None when the burner cannot get it there. The whole pan is taken to warm evenly, so a wide pan on a small
    flame takes longer. Raises ValueError for a torch or a grill.
    """
    if hot.method != "pan":
        raise ValueError(f"only a pan is preheated like this, not a {hot.method}")
    warmer_K = hot.face_C - hot.room_C
    end_K = hot.supply_W_m2 / hot.loss_W_m2K
    if warmer_K <= 0:
        return 0.0
    if warmer_K >= end_K:
        return None
    return -hot.store_J_m2K / hot.loss_W_m2K * log(1 - warmer_K / end_K)


def torch(flux_W_m2: float) -> HotFace:
    """A torch held still.

    flux_W_m2 : heat it brings to a surface at boiling, 5000 to 500000 [W/m2]; see `flux_of_water_test`

    No published figure of this is held, so it has to be measured; the range is 30 % either way. Raises
    ValueError outside that range.
    """
    _within("the torch's heat flux", flux_W_m2, 5e3, 5e5, "W/m2")
    flame = settings()["torch"]["flame_C"]
    h = flux_W_m2 / (flame - settings()["boiling"]["sea_level_C"])
    return HotFace("torch", flame, h, 0.7 * h, 1.3 * h, float("inf"), 0.0, 0.0, 20.0, settings()["torch"]["source"])


def flux_of_water_test(water_kg: float, rise_K: float, time_s: float, spot_m2: float) -> float:
    """Heat flux of a torch from a kitchen test [W/m2].

    Play the torch on a thin metal lid or cup that holds `water_kg` of water, over a spot of `spot_m2`, for
    `time_s`, and read how far the water warmed, `rise_K`; stay below boiling. What the metal and the air take
    is lost to the test, so the answer is on the low side. Raises ValueError unless all are above 0.
    """
    if not all(isfinite(x) and x > 0 for x in (water_kg, rise_K, time_s, spot_m2)):
        raise ValueError("water, rise, time and spot must all be above 0")
    return float(water_kg * settings()["water"]["cp_J_kgK"] * rise_K / (time_s * spot_m2))


def grill(glow_C: float) -> HotFace:
    """A grill seen from the meat: glowing coals or burners and rising hot air.

    glow_C : temperature of the coals or burners, 300 to 1000 [degC]

    Radiation is linearised at a boiling surface. The share of the view that glows is a judgement, so the
    range is wide. Raises ValueError outside that range.
    """
    _within("the coals' temperature", glow_C, 300.0, 1000.0, "C")
    figures = settings()["grill"]
    hot, wet = glow_C + _ZERO_C, settings()["boiling"]["sea_level_C"] + _ZERO_C
    radiation = figures["emissivity"] * _STEFAN_BOLTZMANN_W_m2K4 * (hot**2 + wet**2) * (hot + wet)
    views = (figures["view_nominal"], figures["view_low"], figures["view_high"])
    h, low, high = (view * (radiation + figures["air_h_W_m2K"]) for view in views)
    return HotFace("grill", glow_C, h, low, high, float("inf"), 0.0, 0.0, 20.0, figures["source"])


def _within(name: str, value: float, low: float, high: float, unit: str) -> None:
    if not (isfinite(value) and low <= value <= high):
        raise ValueError(f"{name} must lie between {low:g} and {high:g} {unit}, got {value:g} {unit}")
