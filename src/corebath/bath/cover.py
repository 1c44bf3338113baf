"""Covers: which part of the water stays open, and what the heat must cross where it is covered."""

from __future__ import annotations

from dataclasses import dataclass, replace

from corebath.bath.files import row, rows
from corebath.bath.spread import Spread
from corebath.units import between


@dataclass(frozen=True, slots=True)
class Cover:
    """What lies over the water.

    key, words : its name
    open_share : share of the surface that stays open, with its range, 0 to 1 [-]
    resistance_m2K_W : resistance of the covered part, wet below, 0 to 5 [m2 K/W]
    emissivity : of its top [-]

    Where it is covered no vapour leaves: what condenses below drips back. Raises ValueError outside the ranges.
    """

    key: str
    words: str
    open_share: Spread
    resistance_m2K_W: float
    emissivity: float
    source: str

    def __post_init__(self) -> None:
        between("the open share of a cover", self.open_share.low, 0.0, 1.0, "of the surface")
        between("the open share of a cover", self.open_share.high, 0.0, 1.0, "of the surface")
        between("the resistance of a cover", self.resistance_m2K_W, 0.0, 5.0, "m2K/W")

    @classmethod
    def named(cls, key: str) -> Cover:
        """A cover of the data file by its key. Raises ValueError that lists the keys."""
        r = row("covers.csv", key, "cover")
        share = Spread(float(r["open_nominal"]), float(r["open_low"]), float(r["open_high"]))
        return cls(r["key"], r["words"], share, float(r["resistance_m2K_W"]), float(r["emissivity"]), r["source"])

    def leaving_open(self, share: float) -> Cover:
        """The same cover with a measured open share, 0 to 1 [-]."""
        return replace(self, open_share=Spread(share, share, share), source="open share as given by the cook")


def covers() -> tuple[Cover, ...]:
    """All covers of the data file, in its order."""
    return tuple(Cover.named(key) for key in rows("covers.csv"))
