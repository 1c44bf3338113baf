"""How far the checks lie from their published figures: gathered over a run, written down, compared with what was."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

COLUMNS = ("room", "what", "n", "unit", "mean", "rms", "largest", "source", "test")
FIGURES = ("mean", "rms", "largest")
KEPT = Path(__file__).parents[2] / "docs" / "science" / "agreement.csv"
# Rounding of sums of exact figures is nothing to tell.
NOTHING = 1e-9

Row = dict[str, str]


class Measure(Protocol):
    """Keep the difference between our figures and the published ones, in `unit`; in per cent with `ratio`.

    Calls with the same room and words, as from the rows of one table, are gathered.
    """

    def __call__(
        self,
        room: str,
        what: str,
        ours: ArrayLike,
        published: ArrayLike,
        *,
        source: str,
        unit: str = "%",
        ratio: bool = False,
    ) -> None: ...


@dataclass(slots=True)
class Compared:
    """One row of the table: all differences of one kind from one source."""

    unit: str
    source: str
    test: str
    off: list[NDArray[np.float64]] = field(default_factory=list)

    def figures(self) -> tuple[str, ...]:
        off = np.concatenate(self.off)
        off[np.abs(off) < NOTHING] = 0.0
        rms, largest = np.sqrt((off**2).mean()), off[np.argmax(np.abs(off))]
        return str(off.size), self.unit, f"{off.mean():+.3g}", f"{rms:.3g}", f"{largest:+.3g}"


@dataclass(slots=True)
class Gathered:
    """Everything measured in one run of the tests."""

    kept: dict[tuple[str, str], Compared] = field(default_factory=dict)

    def measure(self, test: str) -> Measure:
        """What a test of this module calls."""

        def keep(
            room: str,
            what: str,
            ours: ArrayLike,
            published: ArrayLike,
            *,
            source: str,
            unit: str = "%",
            ratio: bool = False,
        ) -> None:
            own, printed = np.broadcast_arrays(np.asarray(ours, dtype=float), np.asarray(published, dtype=float))
            off = 100.0 * (own / printed - 1.0) if ratio else own - printed
            self.kept.setdefault((room, what), Compared(unit, source, test)).off.append(off.ravel().copy())

        return keep

    def rows(self) -> Iterator[Row]:
        """As they are written, by room, in the order of the tests."""
        for (room, what), compared in sorted(self.kept.items(), key=lambda item: item[0][0]):
            values = (room, what, *compared.figures(), compared.source, compared.test)
            yield dict(zip(COLUMNS, values, strict=True))

    def write(self, path: Path) -> None:
        with path.open("w", encoding="utf-8", newline="") as stream:
            writer = csv.DictWriter(stream, COLUMNS, lineterminator="\n")
            writer.writeheader()
            writer.writerows(self.rows())


def strayed(test: str, fresh: list[Row], whole: bool) -> list[str]:
    """How fresh figures of a module differ from those written down: by more than 5 % and 0.02, or by their rows.

    With `whole` all tests of the module ran, so a row that is missing is one too many in the file.
    """
    with KEPT.open(encoding="utf-8", newline="") as stream:
        kept = {row["what"]: row for row in csv.DictReader(stream) if row["test"] == test}
    found = [f"not written down: {row['what']}" for row in fresh if row["what"] not in kept]
    if whole:
        found += [f"no longer measured: {what}" for what in kept if what not in {row["what"] for row in fresh}]
    for row in fresh:
        old = kept.get(row["what"])
        # Part of a table says nothing about the whole.
        if old is None or (row["n"] != old["n"] and not whole):
            continue
        for name in FIGURES:
            now, then = float(row[name]), float(old[name])
            if row["n"] != old["n"] or abs(now - then) > max(0.05 * abs(then), 0.02):
                found.append(f"{row['what']}: {name} {now:g} of {row['n']}, written down {then:g} of {old['n']}")
    return found
