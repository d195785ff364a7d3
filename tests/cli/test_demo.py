"""The demo: one line, one link that works once, and a history that ends on the day asked for."""

import re
from datetime import datetime
from pathlib import Path

import pytest
from flask import Flask

from app.cli import demo
from app.cli.database import opened, prepare
from app.cli.parts import Parts
from app.cli.serving import hold_port, port_of
from app.config import Config
from app.services import accounts
from app.store.users import Role
from tests.cli.conftest import Run, Served

LINE = re.compile(r"http://127\.0\.0\.1:(\d+)/sign-in/[\w-]{43}\n")


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """A demo that holds only its keeper; notes each time it is loaded."""
    loaded: list[str] = []

    def _load(parts: Parts, config: Config, moment: datetime) -> None:
        loaded.append(moment.date().isoformat())
        prepare(config)
        with opened(config) as session:
            user = accounts.add_user(session, "k@demo.example", "a long enough password", moment)
            room = accounts.add_fishroom(session, "Demo", moment)
            accounts.add_member(session, room, user, Role.KEEPER)
            session.commit()

    monkeypatch.setattr(demo, "_load", _load)
    return loaded


def _close(served: Served) -> None:
    for app in served.apps:
        assert isinstance(app, Flask)
        app.extensions["sessions"].reading.kw["bind"].dispose()


@pytest.mark.usefixtures("quick")
def test_exactly_one_line_is_printed_and_its_link_signs_in_once(
    run: Run, served: Served, tmp_path: Path
) -> None:
    result = run("demo", "--data", str(tmp_path))
    assert result.exit_code == 0, result.output
    assert LINE.fullmatch(result.stdout)
    app = served.apps[0]
    assert isinstance(app, Flask)
    path = "/" + result.stdout.strip().split("/", 3)[3]
    assert app.test_client().get(path).headers["Location"] == "/"
    assert app.test_client().get(path).status_code == 410
    _close(served)


def test_it_is_loaded_once_a_day_and_again_on_the_next(
    run: Run, served: Served, tmp_path: Path, quick: list[str]
) -> None:
    for day in ("2026-06-15", "2026-06-15", "2026-06-16"):
        assert run("demo", "--data", str(tmp_path), "--today", day).exit_code == 0
    assert quick == ["2026-06-15", "2026-06-16"]
    assert len(list(tmp_path.glob("demo-*.sqlite3"))) == 1
    _close(served)


@pytest.mark.usefixtures("quick")
def test_other_files_in_the_folder_are_left_alone(run: Run, served: Served, tmp_path: Path) -> None:
    (tmp_path / "mine.sqlite3").write_text("precious")
    run("demo", "--data", str(tmp_path), "--today", "2026-06-15")
    run("demo", "--data", str(tmp_path), "--today", "2026-06-16")
    assert (tmp_path / "mine.sqlite3").read_text() == "precious"
    _close(served)


@pytest.mark.usefixtures("quick")
def test_the_clock_of_the_pages_is_shifted_by_whole_days(run: Run, served: Served, tmp_path: Path) -> None:
    run("demo", "--data", str(tmp_path), "--today", "2026-06-05")
    assert served.configs[0].clock_shift.days == -10
    _close(served)


def test_a_taken_port_is_told(run: Run, tmp_path: Path) -> None:
    with hold_port("127.0.0.1", 0) as held:
        taken = port_of(held)
        result = run("demo", "--data", str(tmp_path), "--port", str(taken))
    assert result.exit_code == 1
    assert f"Port {taken} is in use" in result.output


def test_a_day_that_is_none_is_told(run: Run) -> None:
    result = run("demo", "--today", "tomorrow")
    assert result.exit_code == 2
    assert "write it like 2026-06-15" in result.output


def test_a_folder_that_cannot_be_written_is_told(run: Run, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    result = run("demo", "--data", str(tmp_path / "file" / "below"))
    assert result.exit_code == 1
    assert "Cannot write in" in result.output
