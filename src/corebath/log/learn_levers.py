"""The single changes worth trying from some settings: each one modest step, and nothing else moved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from corebath.outcome.results import Result
from corebath.plan.data import pace_of
from corebath.sear.tables import settings as sear_settings
from corebath.units import mark

from .learn_drive import Settings, figures

_HOUR_S = 3600.0
_SURFACES = ("dry", "patted", "wet")


class Lever(StrEnum):
    """What is changed."""

    SET_POINT = "set point"
    HOURS = "hours"
    SALT = "salt"
    PAN = "pan heat"
    SURFACE = "surface"


@dataclass(frozen=True, slots=True)
class Change:
    """One change. before, after : degC, seconds in the bath, percent, degC, or a word, by lever

    words : one sentence with marks;  more : True for hotter, longer, saltier, drier
    """

    lever: Lever
    before: float | str
    after: float | str
    words: str
    more: bool


def candidates(base: Settings, texture: str, result: Result) -> Iterator[tuple[Change, Settings]]:
    """Every change to try, with the settings it leads to.

    Set point and bath stay inside the result's band and texture window, or come nearer to them.
    """
    yield from _set_points(base, result)
    yield from _hours(base, result)
    yield from _salts(base, texture)
    if base.surface is not None:
        yield from _pans(base)
        yield from _surfaces(base, base.surface)


def _set_points(base: Settings, result: Result) -> Iterator[tuple[Change, Settings]]:
    f, old = figures()["levers"], base.set_point_C
    steps = round(f["largest_K"] / f["step_K"])
    for i in range(-steps, steps + 1):
        new = old + i * f["step_K"]
        if i == 0 or not _nearer(old, new, result.low_C, result.high_C):
            continue
        words = f"Set the bath to {mark(new, 'C')} instead of {mark(old, 'C')}; leave the hours as they were."
        yield Change(Lever.SET_POINT, old, new, words, i > 0), replace(base, set_point_C=new)


def _hours(base: Settings, result: Result) -> Iterator[tuple[Change, Settings]]:
    old, f = base.bath_s, figures()["levers"]
    grain = f["grain_long_s"] if old >= f["long_s"] else f["grain_short_s"]
    seen = {round(old / grain)}
    for factor in f["hour_factors"]:
        count = round(old * factor / grain)
        new = grain * count
        hours = (new - base.come_up_s) / _HOUR_S
        if count in seen or hours <= 0 or not _nearer(old, new, result.hold_low_s, result.hold_high_s):
            continue
        seen.add(count)
        was = mark(f["said_to_s"] * round(old / f["said_to_s"]), "s")
        words = f"Leave it in the bath for {mark(new, 's')} instead of {was}; leave the set point as it was."
        yield Change(Lever.HOURS, old, new, words, factor > 1), replace(base, hours=hours)


def _salts(base: Settings, texture: str) -> Iterator[tuple[Change, Settings]]:
    f, old = figures()["levers"], base.salt_percent
    if old is None or not pace_of(texture).salt_share:
        return
    for i in range(-f["salt_most_steps"], f["salt_most_steps"] + 1):
        new = round(old + i * f["salt_step"], 3)
        if i == 0 or not _nearer(old, new, f["salt_low"], f["salt_high"]):
            continue
        words = f"Salt with {new:g} % of the meat's weight instead of {old:g} %."
        yield Change(Lever.SALT, old, new, words, i > 0), replace(base, salt_percent=new)


def _pans(base: Settings) -> Iterator[tuple[Change, Settings]]:
    f, old = figures()["levers"], base.pan_C
    for i in range(-f["pan_most_steps"], f["pan_most_steps"] + 1):
        new = old + i * f["pan_step_K"]
        if i == 0 or not _nearer(old, new, f["pan_low_C"], f["pan_high_C"]):
            continue
        words = f"Heat the pan to {mark(new, 'C')} instead of {mark(old, 'C')}, and sear for as long as before."
        yield Change(Lever.PAN, old, new, words, i > 0), replace(base, pan_C=new)


def _surfaces(base: Settings, old: str) -> Iterator[tuple[Change, Settings]]:
    film = sear_settings()["film"]
    for new in _SURFACES:
        if new == old:
            continue
        drier = film[f"{new}_kg_m2"] < film[f"{old}_kg_m2"]
        how = {
            "dry": "Dry the surface until the towel stays dry",
            "patted": "Pat the surface once",
            "wet": "Sear it straight from the bag",
        }[new]
        words = f"{how} (last time: {old}), and sear for as long as before."
        yield Change(Lever.SURFACE, old, new, words, drier), replace(base, surface=new)


def _nearer(old: float, new: float, low: float, high: float) -> bool:
    """Whether a value lies in a band, or lies nearer to it than it did and does not jump past it."""
    if low <= new <= high:
        return True
    return (new < low and old < new) or (new > high and old > new)
