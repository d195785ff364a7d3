"""A terminal for tests: settings of its own, a data folder of its own, and a server that ends at once."""

import socket
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from wsgiref.types import WSGIApplication

import pytest
from click.testing import CliRunner, Result

from app import __main__
from app.cli import demo, serve
from app.cli.main import commands
from app.cli.parts import Parts
from app.cli.serving import port_of
from app.config import SETTINGS, Config


@dataclass
class Served:
    """What ``serve`` and ``demo`` were about to answer with."""

    apps: list[WSGIApplication] = field(default_factory=list)
    configs: list[Config] = field(default_factory=list)
    ports: list[int] = field(default_factory=list)

    def answer(
        self, app: WSGIApplication, held: socket.socket, config: Config, ready: Callable[[], None]
    ) -> None:
        """Note what would be served, and stop."""
        ready()
        self.apps.append(app)
        self.configs.append(config)
        self.ports.append(port_of(held))
        held.close()


@pytest.fixture
def data(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The data folder of a machine on which nothing is set."""
    for row in SETTINGS:
        monkeypatch.delenv(row.name, raising=False)
    monkeypatch.setenv("BROODWATER_DATA", str(tmp_path / "data"))
    return tmp_path / "data"


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> Served:
    """Keeps ``serve`` and ``demo`` from waiting for visitors."""
    noted = Served()
    monkeypatch.setattr(serve, "answer", noted.answer)
    monkeypatch.setattr(demo, "answer", noted.answer)
    return noted


Run = Callable[..., Result]


@pytest.fixture
def run(data: Path) -> Run:
    """Runs a command line in this process."""
    parts = Parts(__main__._application, __main__._demo, __main__._demo_version)  # noqa: SLF001

    def _run(*words: str, stdin: str = "") -> Result:
        return CliRunner().invoke(commands, words, input=stdin, obj=parts)

    return _run
