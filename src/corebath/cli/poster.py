"""`corebath poster`: one food's times over its sizes and set points, as a page to hang up or as data."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import click

from corebath.ask.poster import PosterAsked, PosterQuestion, understand_poster
from corebath.ask.understand import Misunderstood, preference_of
from corebath.plan.sweep import Progress, Sweep, make_times
from corebath.show.poster import make_poster
from corebath.show.poster_data import poster_text, times_as_csv, times_as_json
from corebath.units import Preference, render

from .asking import kitchen, refuse, takes
from .say import echo
from .writing import why_not_written

_FILE = click.Path(dir_okay=False, path_type=Path)
_MOST_JOBS = 256


@click.command("poster", help="Table of one FOOD's times over its sizes and set points, with every rule marked.")
@click.argument("food")
@takes(
    "wide", "long", "shape", "state", "start", "handling", "layers", "guests", "rules", "fish", "bag", "sear", "units",
    thick=("SIZES", 'Sizes: "10-70 mm step 5", "1/2-2 in step 1/4"; the usual ones by default.'),
    set=("TEMPS", 'Set points: "54-66 C step 1"; those of the food\'s results by default.'),
    paper=("PAGE", "a4 (default), a3 or letter."),
)  # fmt: skip
@click.option("--pdf", type=_FILE, help="Write the poster to a PDF.")
@click.option("--png", type=_FILE, help="Write the poster to a PNG.")
@click.option("--svg", type=_FILE, help="Write the poster to an SVG.")
@click.option("--csv", "as_csv", type=_FILE, help="Write the table to a CSV file, a line for each cell.")
@click.option("--json", "as_json", is_flag=True, help="Print the table as JSON (docs/json-poster.md) instead of text.")
@click.option("--jobs", type=click.IntRange(1, _MOST_JOBS), default=1, help="Processes to share the work between.")
@click.option("--cluster", metavar="ADDRESS", help="Share the work out to a Dask cluster instead.")
def command(
    food: str,
    pdf: Path | None,
    png: Path | None,
    svg: Path | None,
    as_csv: Path | None,
    as_json: bool,
    jobs: int,
    cluster: str | None,
    **answers: str | None,
) -> None:
    """Make a table of times. Exit code 2 when the question is not understood."""
    asked, preference = _asked(food, answers)
    with _shared(jobs, cluster) as executor, _progress(asked.sweep) as progress:
        times = make_times(asked.sweep, executor, progress)
    made = datetime.now().astimezone().date()
    poster = make_poster(times, preference, made)
    files = {"pdf": pdf, "png": png, "svg": svg}
    try:
        if as_csv is not None:
            as_csv.write_text(times_as_csv(times, preference), encoding="utf-8")
        if any(files.values()):
            from corebath.show.poster_files import FORMS, write_poster  # the typesetter is slow to load

            for form in FORMS:
                path = files[form]
                if path is not None:
                    write_poster(poster, path, form, asked.paper)
    except OSError as error:
        refuse([f"The poster could not be written: {why_not_written(error)}."])
    if as_json:
        click.echo(json.dumps(times_as_json(times, preference, made), ensure_ascii=False, indent=2))
    elif as_csv is None and not any(files.values()):
        echo(poster_text(poster))


def _asked(food: str, answers: dict[str, str | None]) -> tuple[PosterAsked, Preference]:
    question = PosterQuestion.of({"food": food, **{k: v for k, v in answers.items() if v is not None}})
    place = kitchen()
    preference = preference_of(question, place)
    try:
        return understand_poster(question, place), preference
    except Misunderstood as error:
        refuse([render(sentence, preference) for sentence in error.sentences.values()])


@contextmanager
def _shared(jobs: int, cluster: str | None) -> Iterator[Executor | None]:
    """Where the cells are computed: here, in processes of this computer, or on a cluster."""
    if cluster is not None:
        with _on_cluster(cluster) as executor:
            yield executor
    elif jobs > 1:
        from concurrent.futures import ProcessPoolExecutor
        from multiprocessing import get_context

        with ProcessPoolExecutor(jobs, mp_context=get_context("spawn")) as executor:
            yield executor
    else:
        yield None


@contextmanager
def _on_cluster(address: str) -> Iterator[Executor]:
    try:
        from distributed import Client
    except ImportError:
        refuse(["A cluster needs the package distributed beside corebath: install it, or leave out --cluster."])
    try:
        client = Client(address, timeout="10s")  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as error:
        refuse([f"No cluster answers at {address[:80]!r}: {str(error).rstrip('.')}."])
    try:
        yield client.get_executor()  # type: ignore[no-untyped-call]
    finally:
        client.close()  # type: ignore[no-untyped-call]


@contextmanager
def _progress(sweep: Sweep) -> Iterator[Progress | None]:
    """A bar on a terminal's error output, and nothing where that is a file or a pipe."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("Cells", total=sweep.count)
        told: Callable[[int, int], None] = lambda done, _: bar.update(task, completed=done)  # noqa: E731
        yield told
