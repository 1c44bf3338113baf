"""Fat for the pan, by the temperature at which it smokes; and what to watch at a hot pan."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from corebath.data_files import read_rows, read_toml
from corebath.safety.finding import Finding, Verdict
from corebath.sear.tables import pick
from corebath.units import mark


@dataclass(frozen=True, slots=True)
class Oil:
    """A fat and where it begins to smoke, by all sources held.

    low_C, high_C : lowest and highest published figure; they can be 20 to 50 degC apart [degC]
    measured_C : figures that were measured, not compiled [degC];  sources : who says so
    """

    name: str
    low_C: float
    high_C: float
    measured_C: tuple[float, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SearCaution:
    """A sentence for the cook at the pan, with where it comes from."""

    key: str
    text: str
    source: str


@cache
def oils() -> dict[str, Oil]:
    """All fats held, by name."""
    found: dict[str, list[dict[str, str]]] = {}
    for row in read_rows("corebath.sear", "smoke_points.csv"):
        found.setdefault(row["oil"], []).append(row)
    return {
        name: Oil(
            name=name,
            low_C=min(float(row["T_low_C"]) for row in each),
            high_C=max(float(row["T_high_C"]) for row in each),
            measured_C=tuple(float(row["T_low_C"]) for row in each if row["kind"] == "measured"),
            sources=tuple(row["source"] for row in each),
        )
        for name, each in found.items()
    }


def oils_for(hot_C: float) -> tuple[Oil, ...]:
    """Fats whose lowest published smoke point is above a pan temperature, the hardiest first."""
    hardy = (oil for oil in oils().values() if oil.low_C > hot_C)
    return tuple(sorted(hardy, key=lambda oil: -oil.low_C))


def oil_finding(name: str, hot_C: float) -> Finding:
    """Whether a fat stays below its smoke point at a pan temperature [degC]; its lowest figure decides.

    Raises ValueError for a fat that is not held, with near names.
    """
    oil = pick("oil", name, oils())
    low, high = mark(oil.low_C, "C"), mark(oil.high_C, "C")
    spread = f"at {low}" if oil.low_C == oil.high_C else f"from {low}, by other sources only at {high}"
    others = ", ".join(o.name for o in oils_for(hot_C)[:3])
    smokes = hot_C >= oil.low_C
    advice = "" if not smokes else f"; {others} would not" if others else "; no fat held here would not"
    return Finding(
        rule="sear-oil-smoke",
        title=f"{oil.name}: below its smoke point",
        verdict=Verdict.NOT_MET if smokes else Verdict.MET,
        binding=False,
        why=f"The pan is at {mark(hot_C, 'C')}; {oil.name} smokes {spread}{advice}.",
        source="; ".join(dict.fromkeys(oil.sources)),
        assumptions=("Fresh fat: used or unfiltered fat smokes sooner.",),
    )


def sear_cautions(method: str, hottest_C: float) -> tuple[SearCaution, ...]:
    """What to watch. method : "pan", "torch" or "grill";  hottest_C : hottest face or crust [degC]"""
    return tuple(
        SearCaution(entry["key"], entry["text"], entry["source"])
        for entry in read_toml("corebath.sear", "cautions.toml")["caution"]
        if method in entry["method"] and hottest_C >= entry["from_C"]
    )
