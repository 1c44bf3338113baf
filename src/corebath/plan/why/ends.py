"""Why the numbers of both ends: salt and sear before and after the bath."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from corebath.data_files import read_rows
from corebath.plan.data import defaults
from corebath.safety.finding import Finding
from corebath.salt.brine import Salting
from corebath.salt.dose import Dose
from corebath.salt.tables import settings as salt_settings
from corebath.sear.run import SearRun, Setup
from corebath.sear.sear import Sear
from corebath.sear.tables import settings as sear_settings
from corebath.units import mark

from .judged import judged_whys
from .why import Input, Origin, Teller, Why, citation, percent, reckoned, why

SALT, SEAR = "salt", "sear"


def salt_whys(
    percent_of_meat: float, usual: bool, weighed: Dose | None, salting: Salting, thickness_m: float,
    findings: Iterable[Finding], tell: Teller, *, brine: bool = False,
) -> Iterator[Why]:  # fmt: skip
    """Dose, times and findings of a salting. usual : nobody said how much, so a usual dose is taken"""
    share = tell.asked("salt of the meat", percent(percent_of_meat / 100), "salt", usual=usual)
    thick = tell.asked("thickness", mark(thickness_m, "m"), "thick")
    made = []
    if weighed is not None:
        mass = tell.asked("meat", mark(weighed.meat_kg, "kg"), "mass")
        salt = mark(round(weighed.of_meat_and_water_kg, 5), "kg")
        usual_source = citation("salt/doses.csv#key=dry-brine") if usual else ""
        made.append(why("dose", SALT, salt, (share, mass), source=(usual_source,)))
    nominal, slow, fast = salting.nominal, salting.slow, salting.fast
    if nominal is None or slow is None or fast is None:
        ceiling = salt_settings()["water_ceiling"]
        made.append(why(
            "salt-times", SALT, f"half at the core after {mark(salting.soonest_half_s, 's')} or more",
            (thick, Input("diffusivity D of salt in plain water", f"{ceiling['D_m2_s']:.2e} m²/s", Origin.MODEL)),
            spread="A bound only: no diffusivity is published for this kind of food.", source=(salting.source,),
        ))  # fmt: skip
    else:
        D = Input("diffusivity D", f"{nominal.D_m2_s:.2e} m²/s", Origin.MODEL)
        made.append(why(
            "salt-brine" if brine else "salt-times", SALT,
            f"half at the core after {mark(nominal.half_s, 's')}, level after {mark(nominal.level_s, 's')}",
            (thick, D), key="salt-times", source=(salting.source,),
            spread=f"Published from {slow.D_m2_s:.2e} to {fast.D_m2_s:.2e} m²/s: half after {mark(fast.half_s, 's')} "
            f"to {mark(slow.half_s, 's')}.",
        ))  # fmt: skip
        if nominal.uptake_s is not None:
            made.append(why("salt-surface", SALT, mark(nominal.uptake_s, "s"), (share, thick, D)))
        if salting.waits:
            last = salting.waits[-1]
            made.append(why(
                "salt-waits", SALT, f"{percent(last.core_share)} at the core after {mark(last.time_s, 's')}",
                (reckoned("diffusion", mark(nominal.half_s, "s"), "salt-times"),
                 *(Input("wait", mark(wait.time_s, "s"), tell.origin("hours")) for wait in salting.waits)),
                spread=f"{percent(last.core_share_low)} to {percent(last.core_share_high)} over the published range.",
            ))  # fmt: skip
    yield from made
    yield from judged_whys(SALT, findings, {"salt-": "dose"}, made)


def sear_whys(
    setup: Setup,
    seared: Sear,
    findings: Iterable[Finding],
    tell: Teller,
    *,
    usual_pan: bool,
    more: Mapping[str, str],
) -> Iterator[Why]:
    """Crust, band, core and findings of a sear.

    usual_pan : nobody said how hot, so a usual pan is taken
    more : values of what else was reckoned, by its kind: "chill-first", "pan-preheat", "effects"
    """
    hot, settings = setup.hot, sear_settings()
    face = why(
        "hot-face", SEAR, mark(hot.face_C, "C"),
        (tell.asked(hot.method, mark(hot.face_C, "C"), "hot", usual=usual_pan),
         Input("contact with the meat", f"{hot.h_W_m2K:.0f} W/(m²·K)", Origin.MODEL)),
        spread=f"Contact lies between {hot.h_low_W_m2K:.0f} and {hot.h_high_W_m2K:.0f} W/(m²·K).",
        source=(defaults()["sear"]["source"] if usual_pan else "", settings["contact"]["source"]),
    )  # fmt: skip
    reach = reckoned("hot face", mark(hot.face_C, "C"), "hot-face")
    thick = tell.asked("thickness", mark(setup.thickness_m, "m"), "thick")
    film = tell.asked("water on the surface", f"{setup.film_kg_m2:g} kg/m²", "surface")
    runs = seared.runs
    made = [face, why(
        "crust", SEAR, _crust(seared.nominal),
        (reach, film, Input("browns from", mark(settings["browning"]["nominal_C"], "C"), Origin.MODEL),
         Input("dried to", mark(settings["crust_depth"]["dried_m"], "m"), Origin.MODEL)),
        spread=f"{', '.join(dict.fromkeys(_crust(run) for run in runs))} with middling, poorest and best contact and "
        "crust.",
    )]  # fmt: skip
    bands = [_band(run) for run in runs]
    core = (reach, thick, reckoned("time on each side", _crust(seared.nominal), "crust"))
    made.append(why(
        "grey-band", SEAR, bands[0],
        (*core, Input("begins above the core result by", mark(settings["grey_band"]["excess_K"], "K"), Origin.USUAL)),
        spread=f"{', '.join(dict.fromkeys(bands))} with middling, poorest and best contact and crust; no measured "
        "depth was found to compare with.",
    ))  # fmt: skip
    rises = [run.core_rise_K for run in runs]
    made.append(why(
        "core-rise", SEAR, mark(round(rises[0], 1) + 0.0, "K"),
        (*core, tell.asked("rest", mark(setup.rest_s, "s"), "rest", usual=True)),
        spread=f"{mark(round(min(rises), 1) + 0.0, 'K')} to {mark(round(max(rises), 1) + 0.0, 'K')}.",
    ))  # fmt: skip
    made += [why(kind, SEAR, value, core) for kind, value in more.items()]
    fats = "; ".join(dict.fromkeys(row["source"] for row in read_rows("corebath.sear", "smoke_points.csv")))
    made.append(why("oils", SEAR, f"above {mark(hot.face_C, 'C')}", (reach,), source=(fats,)))
    yield from made
    rests_on = {"sear-grey": "grey-band", "sear-oil": "oils", "sear-": "crust"}
    yield from judged_whys(SEAR, findings, rests_on, made)


def _band(run: SearRun) -> str:
    return "right through" if run.through else mark(max(run.band_m), "m")


def _crust(run: SearRun) -> str:
    sides = [s for s in run.crust_s if s is not None]
    return f"{mark(round(max(sides)), 's')} a side" if len(sides) == len(run.crust_s) else "no crust"
