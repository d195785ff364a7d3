"""The server asks once who keeps the fishroom, and brings its database up to date."""

from pathlib import Path

import pytest
from flask import Flask

from app.cli import serve
from app.cli.database import opened
from app.config import read
from app.services import accounts
from tests.cli.conftest import Run, Served

PASSWORD = "a long enough password"
FIRST = ("serve", "--port", "0", "--email", "k@fish.example", "--fishroom", "Cellar", "--password-stdin")


def test_the_first_start_takes_the_keeper_from_the_options(run: Run, served: Served) -> None:
    result = run(*FIRST, stdin=f"{PASSWORD}\n")
    assert result.exit_code == 0, result.output
    assert result.stdout == ""
    assert f"http://127.0.0.1:{served.ports[0]}" in result.stderr
    with opened(read()) as session:
        assert accounts.sign_in(session, "k@fish.example", PASSWORD) is not None


def test_the_second_start_asks_for_nothing(run: Run, served: Served) -> None:
    run(*FIRST, stdin=f"{PASSWORD}\n")
    result = run("serve", "--port", "0")
    assert result.exit_code == 0, result.output
    assert served.configs[0].secret_key == served.configs[1].secret_key != ""


def test_the_served_application_answers(run: Run, served: Served) -> None:
    run(*FIRST, stdin=f"{PASSWORD}\n")
    app = served.apps[0]
    assert isinstance(app, Flask)
    assert app.test_client().get("/healthz").text == "ok\n"
    app.extensions["sessions"].reading.kw["bind"].dispose()


def test_a_first_start_with_nobody_to_ask_says_what_to_give(run: Run, served: Served) -> None:
    result = run("serve", "--port", "0", "--email", "k@fish.example")
    assert result.exit_code == 2
    assert "--email ADDRESS --fishroom NAME --password-stdin" in result.output
    assert served.ports == []


def test_a_first_start_at_a_terminal_asks(run: Run, served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serve, "_nobody_to_ask", lambda: False)
    result = run("serve", "--port", "0", stdin=f"k@fish.example\nCellar\n{PASSWORD}\n{PASSWORD}\n")
    assert result.exit_code == 0, result.output
    assert "k@fish.example keeps Cellar." in result.stderr
    assert len(served.ports) == 1


def test_a_short_password_is_refused_and_nothing_is_made(run: Run, served: Served, data: Path) -> None:
    result = run(*FIRST, stdin="short\n")
    assert result.exit_code == 1
    assert "at least 10 characters" in result.output
    assert not serve._has_user(read())  # noqa: SLF001
    assert served.ports == []
    assert data.exists()


def test_a_setting_that_cannot_be_used_ends_it(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BROODWATER_DURABLE", "perhaps")
    result = run("serve")
    assert result.exit_code == 2
    assert "BROODWATER_DURABLE is 'perhaps'" in result.output
