"""The command line names its commands and loads one only when it is called."""

import subprocess
import sys

import click
import pytest

from app.cli.main import COMMANDS, commands
from tests.cli.conftest import Run


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_can_be_loaded_and_says_what_it_does(name: str) -> None:
    found = commands.get_command(click.Context(commands), name)
    assert found is not None
    assert found.help


def test_the_help_lists_every_command_with_its_words(run: Run) -> None:
    shown = run("--help").output
    for name, row in COMMANDS.items():
        assert name in shown
        assert row.summary in shown


def test_an_unknown_command_is_refused_with_code_two(run: Run) -> None:
    result = run("serf")
    assert result.exit_code == 2
    assert "No such command 'serf'" in result.output


def test_the_version_is_that_of_the_package(run: Run) -> None:
    from importlib.metadata import version  # noqa: PLC0415

    assert run("--version").output == f"broodwater {version('broodwater')}\n"


def test_reckoning_starts_without_the_web_and_the_database() -> None:
    script = (
        "import sys, app.__main__\n"
        "from app.cli.main import commands\n"
        "commands(['reckon', 'salt', '--schema'], standalone_mode=False)\n"
        "heavy = {'flask', 'sqlalchemy', 'alembic', 'waitress'} & set(sys.modules)\n"
        "sys.exit(f'loaded {heavy}' if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)  # noqa: S603
    assert (done.returncode, done.stderr) == (0, "")
