"""Arrows between the layers point down only."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.repo.sources import ROOT

LINT = "from importlinter.cli import lint_imports_command as lint; lint()"
BROKEN = """
[importlinter]
root_packages =
    app
[importlinter:contract:upside-down]
name = services know nothing of the store
type = forbidden
source_modules = app.services
forbidden_modules = app.store
"""


def lint(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(  # noqa: S603 - our own words
        [sys.executable, "-c", LINT, "--no-cache", *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_contracts_are_kept() -> None:
    pytest.importorskip("importlinter")
    done = lint()
    assert done.returncode == 0, done.stdout
    assert "0 broken" in done.stdout


def test_a_broken_contract_would_be_seen(tmp_path: Path) -> None:
    pytest.importorskip("importlinter")
    config = tmp_path / "contracts.ini"
    config.write_text(BROKEN)
    assert lint("--config", str(config)).returncode == 1


def test_the_reckoning_loads_neither_web_nor_database() -> None:
    script = (
        "import importlib, pkgutil, sys, app.core\n"
        "for found in pkgutil.walk_packages(app.core.__path__, 'app.core.'):\n"
        "    importlib.import_module(found.name)\n"
        "heavy = {'flask', 'werkzeug', 'wtforms', 'sqlalchemy', 'alembic', 'app.store'} & set(sys.modules)\n"
        "sys.exit(f'loaded {heavy}' if heavy else 0)"
    )
    words = [sys.executable, "-c", script]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False)  # noqa: S603
    assert (done.returncode, done.stderr) == (0, "")
