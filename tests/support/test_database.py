"""The tests' database: one for each worker, and never one that may be in use."""

from pathlib import Path

import pytest

from tests.support import database
from tests.support.database import own_url


@pytest.fixture(autouse=True)
def unset(monkeypatch: pytest.MonkeyPatch) -> None:
    """No other database is named and none is made; one worker runs."""
    monkeypatch.delenv("PYTEST_XDIST_WORKER", raising=False)
    monkeypatch.delenv("BROODWATER_TEST_DATABASE", raising=False)
    monkeypatch.setattr(database, "_create", lambda _home, _own: None)


def test_without_a_name_it_is_a_file(tmp_path: Path) -> None:
    assert own_url(tmp_path) == f"sqlite+pysqlite:///{tmp_path}/tests.sqlite3"


def test_without_a_name_it_is_the_database_that_was_given(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BROODWATER_TEST_DATABASE", "postgresql+psycopg://me:it@here/fish_test")
    assert own_url(tmp_path) == "postgresql+psycopg://me:it@here/fish_test"


@pytest.mark.parametrize(
    ("worker", "names", "database"),
    [
        ("gw0", (), "fish_test_gw0"),
        ("gw1", ("rows",), "fish_test_rows_gw1"),
        ("", ("rows",), "fish_test_rows"),
    ],
)
def test_every_worker_has_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, worker: str, names: tuple[str, ...], database: str
) -> None:
    monkeypatch.setenv("BROODWATER_TEST_DATABASE", "postgresql+psycopg://me:it@here/fish_test")
    monkeypatch.setenv("PYTEST_XDIST_WORKER", worker)
    assert own_url(tmp_path, *names) == f"postgresql+psycopg://me:it@here/{database}"


def test_a_database_that_may_be_in_use_is_not_emptied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BROODWATER_TEST_DATABASE", "postgresql+psycopg://me@here/broodwater")
    with pytest.raises(RuntimeError, match=r"name one \*test\*"):
        own_url(tmp_path)
