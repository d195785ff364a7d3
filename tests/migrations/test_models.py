"""The models and the migrations tell the same story, and the migrations keep their hands off cascades."""

from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from alembic.config import main as alembic
from sqlalchemy import Engine, inspect

from app.config import ROOT
from app.store import migrating
from app.store.session import make_engine, sqlite_url
from tests.support.database import emptied, own_url


def test_the_models_equal_the_migrations(tmp_path: Path) -> None:
    url = emptied(own_url(tmp_path, "models"))
    migrating.upgrade(url)
    migrating.check(url)


def test_a_model_that_has_no_migration_would_be_seen(tmp_path: Path) -> None:
    url = emptied(own_url(tmp_path, "models"))
    migrating.upgrade(url)
    engine = make_engine(url)
    with engine.begin() as connection:
        connection.exec_driver_sql("ALTER TABLE fishroom ADD COLUMN shade TEXT")
    engine.dispose()
    with pytest.raises(Exception, match=r"New upgrade operations detected.*shade"):
        migrating.check(url)


def test_a_database_is_at_the_newest_step_only_after_all_steps(tmp_path: Path) -> None:
    url = emptied(own_url(tmp_path, "models"))
    engine = make_engine(url)
    assert not migrating.at_head(engine)
    migrating.upgrade(url)
    assert migrating.at_head(engine)
    engine.dispose()


def test_all_steps_can_be_taken_back_and_taken_again(tmp_path: Path) -> None:
    url = emptied(own_url(tmp_path, "models"))
    migrating.upgrade(url)
    migrating.downgrade(url, "base")
    engine = make_engine(url)
    assert inspect(engine).get_table_names() == ["alembic_version"]
    migrating.upgrade(url)
    migrating.check(url)
    assert migrating.at_head(engine)
    engine.dispose()


def test_the_generator_of_steps_finds_the_database_by_the_settings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = emptied(own_url(tmp_path, "models"))
    monkeypatch.setenv("BROODWATER_DATABASE", url)
    monkeypatch.chdir(ROOT)
    alembic(["upgrade", "head"])
    engine = make_engine(url)
    assert migrating.at_head(engine)
    engine.dispose()


@pytest.fixture
def guarded(tmp_path: Path) -> Engine:
    """A SQLite file opened as the application opens it, with foreign keys on."""
    return make_engine(sqlite_url(tmp_path / "guarded.sqlite3"))


def test_migrating_with_foreign_keys_on_is_refused(guarded: Engine) -> None:
    config = Config()
    config.set_main_option("script_location", str(migrating.MIGRATIONS))
    with guarded.connect() as connection:
        config.attributes["connection"] = connection
        with pytest.raises(RuntimeError, match="foreign keys off"):
            command.upgrade(config, "head")
        assert connection.exec_driver_sql("SELECT count(*) FROM sqlite_master").scalar() == 0
    guarded.dispose()
