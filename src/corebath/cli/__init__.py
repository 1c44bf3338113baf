"""The command line: parse, call, print. Commands are loaded only when asked for, so that help is instant."""

from __future__ import annotations

import importlib

import click

from corebath import __version__
from corebath.language import reading, translated

from .say import language, spoken

_WHAT_FOR = (
    "Plan sous vide cooking: one plan from a piece of food, a wanted result and a dinner time.",
    'Start with: corebath plan ribeye --thick "30 mm" --want "medium rare" --eat 19:30',
)
_COMMANDS = {
    "plan": ("corebath.cli.plan", "Plan one food for one table time."),
    "menu": ("corebath.cli.menu", "Plan several foods, table times, baths, pans and hands."),
    "salt": ("corebath.cli.salt", "Salt one food: how much, and how far it gets."),
    "sear": ("corebath.cli.sear", "Sear one food out of the bath: crust, grey band, core."),
    "chill": ("corebath.cli.chill", "Chill one food: time, ice, and the cooling rules."),
    "keep": ("corebath.cli.keep", "Keep one food chilled or frozen: days by named rules."),
    "reheat": ("corebath.cli.reheat", "Reheat one food in the bath, and what the rules ask."),
    "story": ("corebath.cli.story", "Follow one food from the salt to the reheated plate."),
    "batch": ("corebath.cli.batch", "Cook a week's portions at once, and what becomes of each bag."),
    "bath": ("corebath.cli.bath", "Compute the water: warm-up, level, power cut, fit."),
    "buy": ("corebath.cli.buy", "Compute what to buy for so many eaters, and compare cuts."),
    "judge": ("corebath.cli.judge", "Judge the readings of a logger: keep, finish cooking, or bin."),
    "card": ("corebath.cli.card", "Print one plan on a card, on labels, or as a text to send."),
    "foods": ("corebath.cli.foods", "List the foods, or look one up by any of its names."),
    "poster": ("corebath.cli.poster", "Table of times for one food, over its sizes and set points."),
    "serve": ("corebath.cli.serve", "Open the planner in the browser."),
    "records": ("corebath.cli.records", "Show the kitchen's records for an inspector, or add to them."),
    "store": ("corebath.cli.store", "Show, back up, export or import the store of the kitchen and its cooks."),
    "listen": ("corebath.cli.listen", "Add the readings of an MQTT broker to a cook in the log."),
    "completion": ("corebath.cli.completion", "Print the script that completes commands in your shell."),
}


class _Lazy(click.Group):
    """A group whose commands are imported when they are run, not when they are listed."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        del ctx
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        del ctx
        if cmd_name not in _COMMANDS:
            return None
        command = importlib.import_module(_COMMANDS[cmd_name][0]).command
        assert isinstance(command, click.Command)
        return spoken(command)

    def format_help_text(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        del ctx
        formatter.write_paragraph()
        with formatter.indentation():
            formatter.write_text("\n\n".join(translated(" ".join(p.split()), language()) for p in _WHAT_FOR))

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        del ctx
        with formatter.section(translated("Commands", language())):
            formatter.write_dl([(name, translated(text, language())) for name, (_, text) in _COMMANDS.items()])


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="corebath")
def main() -> None:
    """Plan sous vide cooking from the command line."""
    click.get_current_context().with_resource(reading(language()))
