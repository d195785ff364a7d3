"""The command line's first word; each command is loaded only when it is called."""

import importlib
from dataclasses import dataclass

import click


@dataclass(frozen=True, slots=True)
class Row:
    """Where a command lives, and its line in the help."""

    module: str
    function: str
    summary: str


COMMANDS = {
    "demo": Row("app.cli.demo", "demo", "Serve an invented fishroom to try things on."),
    "serve": Row("app.cli.serve", "serve", "Serve your own fishroom."),
    "remind": Row("app.cli.remind", "remind", "Send the morning messages that are due, once."),
    "user": Row("app.cli.user", "user", "Give people access."),
    "check": Row("app.cli.check", "check", "Say whether settings, database and migrations are in order."),
    "reckon": Row("app.cli.reckon.command", "reckon", "Reckon without a database: JSON in, JSON out."),
}


class LazyGroup(click.Group):
    """A group that knows its commands by name and loads one only to run it or to show its help."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Return the names, in the order of the table."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Load one command."""
        row = COMMANDS.get(cmd_name)
        if row is None:
            return None
        found = getattr(importlib.import_module(row.module), row.function)
        assert isinstance(found, click.Command)  # noqa: S101 - the table above is ours
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Write the table without loading anything."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, row.summary) for name, row in COMMANDS.items()])


@click.group(cls=LazyGroup)
@click.version_option(package_name="broodwater", message="broodwater %(version)s")
def commands() -> None:
    """Keep a fishroom's records and turn them into dated, honest forecasts."""
