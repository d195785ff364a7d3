"""The command line: ``broodwater`` and its subcommands, each loaded only when it is asked for."""

from importlib import import_module

import click

COMMANDS = {
    "demo": ("app.cli.demo", "demo", "Load an invented fishroom and serve it on this machine."),
    "serve": ("app.cli.serve", "serve", "Serve real fishrooms."),
    "user": ("app.cli.user", "user", "Add people."),
    "check": ("app.cli.check", "check", "Check database, migrations and settings."),
    "reckon": ("app.cli.reckon.command", "reckon", "Reckon in scripts: JSON in, JSON out."),
}


class Lazy(click.Group):
    """A group whose commands are imported when they run, so that each starts fast."""

    def list_commands(self, _ctx: click.Context) -> list[str]:
        """Name the commands."""
        return list(COMMANDS)

    def get_command(self, _ctx: click.Context, name: str) -> click.Command | None:
        """Import one command."""
        if name not in COMMANDS:
            return None
        module, attribute, _ = COMMANDS[name]
        command: click.Command = getattr(import_module(module), attribute)
        return command

    def format_commands(self, _ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, _, words) in COMMANDS.items()])


@click.command(cls=Lazy)
def commands() -> None:
    """Keep a fishroom's records and reckon its dates and doses."""
