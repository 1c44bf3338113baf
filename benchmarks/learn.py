"""Timings of learning, and how fast proposals come nearer on simulated cooks whose taste is known.

`python -m benchmarks.learn` prints the learning curve: how far the next cook lies from the best that any setting
could do, by the number of rated cooks, median and ninth in ten of 100 simulated cooks; and in how many of 500 the
truth lies in its 90 % interval. "Further out" draws taste, bias and rating noise half as wide again as assumed.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from tests.unit.log.learned_cooks import chuck_request, three_chucks
from tests.unit.log.simulated_cook import coverage, drawn, learning_curve

from benchmarks.same_bath import Row, best
from corebath.log.learn import propose, suggest
from corebath.log.learn_drive import usual

FOODS = (
    ("tough-red", "beef", "pink"),
    ("tender-red", "beef", "medium-rare"),
    ("poultry-breast", "chicken", "juicy"),
)


def rows() -> Iterator[Row]:
    """Suggestion alone, and a whole proposal with its plans."""
    rng = np.random.default_rng(1)
    cook = drawn(rng, *FOODS[0])
    start = usual(cook.texture, cook.result)
    for count in (3, 30):
        rated = [cook.cooked(start, i, rng) for i in range(count)]
        seconds = best(lambda rated=rated: suggest(rated, cook.texture, cook.kind, cook.result, usual=start))  # type: ignore[misc]
        yield f"suggestion from {count} cooks", seconds, "five qualities, no rule asked"
    three, request = three_chucks(), chuck_request()
    yield "proposal from 3 cooks, with its plans", best(lambda: propose(three, request)), "binding rules asked"


def main() -> None:
    """Print the learning curves and the coverage."""
    for food in FOODS:
        for name, wider in (("as assumed", 1.0), ("further out", 1.5)):
            off = learning_curve(*food, people=100, cooks=12, wider=wider)
            middle, ninth = np.median(off, axis=0), np.quantile(off, 0.9, axis=0)
            steps = "  ".join(f"{m:.2f} ({n:.2f})" for m, n in zip(middle, ninth, strict=True))
            print(f"{food[0]:15} {name:12} steps off, cooks 1 to 12, median (ninth in ten): {steps}", flush=True)
        for cooks in (0, 1, 3, 8):
            held = coverage(*food, people=500, cooks=cooks)
            said = ", ".join(f"{q} {100 * share:.0f} %" for q, share in held.items())
            print(f"{food[0]:15} 90 % intervals after {cooks} cooks hold: {said}", flush=True)


if __name__ == "__main__":
    main()
