"""Cooks whose taste is known: drawn from the stated priors, or further out, and rating what they are given."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import log10, pi, sqrt
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from corebath.log.cook import Rating
from corebath.log.learn import suggest
from corebath.log.learn_drive import QUALITIES, Measure, Settings, drive, figures, measure, usual
from corebath.log.learn_taste import CookedOutcome, learn
from corebath.outcome.results import Result, find_result

Floats = NDArray[np.float64]
BEGIN = datetime(2027, 5, 3, 20, 0, tzinfo=ZoneInfo("Europe/Paris"))


@dataclass(frozen=True, slots=True)
class SimulatedCook:
    """A cook who knows exactly what is just right, and the truth of the models behind it.

    offset : taste and bias together [steps];  per_K, per_decade : what the models' slopes are off by [steps]
    noise : of one rating [steps]
    """

    texture: str
    kind: str
    result: Result
    scales: dict[str, Measure]
    offset: dict[str, float]
    per_K: dict[str, float]
    per_decade: dict[str, float]
    noise: dict[str, float]

    def latent(self, quality: str, settings: list[Settings]) -> Floats:
        """How far each setting truly is from just right, shape (n,) [steps]; NaN where no model says anything."""
        anchor = usual(self.texture, self.result)
        value, _ = drive(quality, self.texture, self.kind, [*settings, anchor])
        off = (value[:-1] - value[-1]) / self.scales[quality].step - self.offset[quality]
        warmer = np.array([s.set_point_C - anchor.set_point_C for s in settings])
        longer = np.array([log10(s.hours / anchor.hours) for s in settings])
        return np.asarray(off + self.per_K[quality] * warmer + self.per_decade[quality] * longer)

    def misfit(self, settings: Settings) -> float:
        """Squared distance from just right over all qualities [steps2]."""
        each = [float(self.latent(q, [settings])[0]) for q in self.scales]
        return float(np.nansum(np.square(each)))

    def best(self) -> float:
        """Least misfit that any setting within the result's band reaches, by a search over all of them [steps2]."""
        anchor, r, f = usual(self.texture, self.result), self.result, figures()["levers"]
        bath = [
            replace(anchor, set_point_C=float(t), hours=float(h))
            for t in np.arange(r.low_C, r.high_C + 1e-6, 0.25)
            for h in np.geomspace(r.hold_low_s / 3600, r.hold_high_s / 3600, 40)
        ]
        total = float(np.min(self._squares(("tender", "juicy", "done"), bath)))
        salted = [replace(anchor, salt_percent=float(x)) for x in np.arange(f["salt_low"], f["salt_high"], 0.02)]
        seared = [
            replace(anchor, pan_C=float(x), surface=s)
            for x in np.arange(f["pan_low_C"], f["pan_high_C"] + 1, 10.0)
            for s in ("dry", "patted", "wet")
        ]
        total += float(np.min(self._squares(("salt",), salted))) if "salt" in self.scales else 0.0
        return total + float(np.min(self._squares(("crust",), seared)))

    def rate(self, settings: Settings, rng: np.random.Generator) -> Rating:
        """What this cook says of a meal."""
        said: dict[str, int] = {}
        for quality in self.scales:
            u = float(self.latent(quality, [settings])[0])
            if np.isfinite(u):
                felt = u + rng.logistic(0.0, self.noise[quality] * sqrt(3.0) / pi)
                said[quality] = int(np.digitize(felt, figures()["scale"]["cuts"])) - 2
        return Rating(
            tender=said.get("tender"), juicy=said.get("juicy"), done=said.get("done"), crust=said.get("crust"),
            salt=said.get("salt"),
        )  # fmt: skip

    def cooked(self, settings: Settings, number: int, rng: np.random.Generator) -> CookedOutcome:
        """A rated cook at some settings."""
        at = BEGIN + timedelta(days=7 * number)
        rating = self.rate(settings, rng)
        return CookedOutcome(
            f"cook {number}", at, self.texture, self.texture, self.kind, settings, 0.03, rating, (), self.result
        )

    def _squares(self, qualities: tuple[str, ...], settings: list[Settings]) -> Floats:
        mine = [self.latent(q, settings) ** 2 for q in qualities if q in self.scales]
        return np.asarray(np.nansum(mine, axis=0))


def drawn(rng: np.random.Generator, texture: str, kind: str, result: str, *, wider: float = 1.0) -> SimulatedCook:
    """A cook drawn from the priors. wider : factor on every spread and on the noise of the ratings [-]"""
    scales = {q: m for q in QUALITIES if (m := measure(q, texture, kind)) is not None}

    def each(*names: str) -> dict[str, float]:
        return {q: wider * float(sum(rng.normal(0.0, getattr(m, name)) for name in names)) for q, m in scales.items()}

    return SimulatedCook(
        texture, kind, find_result(texture, result), scales, each("taste", "bias"), each("per_K"), each("per_decade"),
        {q: wider * m.noise for q, m in scales.items()},
    )  # fmt: skip


def follow(cook: SimulatedCook, rng: np.random.Generator, cooks: int) -> list[float]:
    """Avoidable misfit of cook after cook that follows every proposal, from common practice on [steps]."""
    start = usual(cook.texture, cook.result)
    settings, rated, off, least = start, [], [], cook.best()
    for number in range(cooks):
        off.append(sqrt(max(cook.misfit(settings) - least, 0.0)))
        rated.append(cook.cooked(settings, number, rng))
        settings = suggest(rated, cook.texture, cook.kind, cook.result, usual=start).to
    return off


def learning_curve(texture: str, kind: str, result: str, *, people: int, cooks: int, wider: float = 1.0) -> Floats:
    """Avoidable misfit of many simulated cooks, shape (people, cooks) [steps]."""
    curves = []
    for seed in range(people):
        rng = np.random.default_rng(seed)
        curves.append(follow(drawn(rng, texture, kind, result, wider=wider), rng, cooks))
    return np.array(curves)


def coverage(texture: str, kind: str, result: str, *, people: int, cooks: int) -> dict[str, float]:
    """Share of simulated cooks whose truth at a new setting lies in its 90 % interval, by quality."""
    z, held, asked = figures()["advice"]["interval_z"], dict.fromkeys(QUALITIES, 0), dict.fromkeys(QUALITIES, 0)
    for seed in range(people):
        rng = np.random.default_rng(10_000 + seed)
        cook = drawn(rng, texture, kind, result)
        tried = [_anywhere(cook, rng) for _ in range(cooks + 1)]
        rated = [cook.cooked(s, i, rng) for i, s in enumerate(tried[:-1])]
        for quality, one in learn(rated, texture, kind, cook.result).items():
            seen, truth = one.foresee(tried[-1:]), float(cook.latent(quality, tried[-1:])[0])
            if np.isfinite(truth):
                asked[quality] += 1
                held[quality] += abs(truth - float(seen.mean[0])) <= z * float(seen.sd[0])
    return {q: held[q] / n for q, n in asked.items() if n}


def _anywhere(cook: SimulatedCook, rng: np.random.Generator) -> Settings:
    r = cook.result
    return Settings(
        set_point_C=float(rng.uniform(r.low_C, r.high_C)),
        hours=float(np.exp(rng.uniform(*np.log([r.hold_low_s / 3600, r.hold_high_s / 3600])))),
        come_up_s=0.0,
        salt_percent=float(rng.uniform(0.6, 1.6)),
        pan_C=float(rng.choice([200.0, 230.0, 260.0])),
        surface=str(rng.choice(["dry", "patted", "wet"])),
    )
