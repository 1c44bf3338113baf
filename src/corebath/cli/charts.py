"""Charts of the commands: one into a file, one in the terminal, in its language."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import click

from corebath.show.drawing import Drawing
from corebath.show.files import write_chart
from corebath.show.svg import to_svg
from corebath.show.terminal import to_terminal

from .asking import refuse
from .writing import why_not_written

# Makes a chart, wide or narrow; raises ValueError where there is nothing to draw.
F = TypeVar("F", bound=Callable[..., object])
Draw = Callable[[bool], Drawing]
_NARROWEST, _WIDE_FROM, _WIDEST = 60, 110, 140


def takes_chart(command: F) -> F:
    """Give a command `--chart`."""
    return click.option(
        "--chart", type=click.Path(dir_okay=False, path_type=Path), help="Write the chart to a .svg, .png or .pdf."
    )(command)


def save_chart(make: Callable[[], Drawing], path: Path) -> None:
    """Write a chart to a file; leaves with exit code 2 and a sentence when that fails."""
    try:
        write_chart(to_svg(make(), standalone=True), path)
    except (ValueError, OSError) as error:
        refuse([f"The chart could not be written: {why_not_written(error)}."])


def print_chart(draw: Draw) -> None:
    """Print a chart as wide as the terminal allows; nothing where there is nothing to draw."""
    columns = min(max(shutil.get_terminal_size().columns, _NARROWEST), _WIDEST)
    try:
        drawing = draw(columns >= _WIDE_FROM)
    except ValueError:
        return  # the text has said already why there is nothing to draw
    click.echo(to_terminal(drawing, columns))
