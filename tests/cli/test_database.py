"""What commands do with the database before pages are asked of it."""

from pathlib import Path

from sqlalchemy import text

from app.cli.database import measure, opened, prepare
from app.config import Config
from app.store.session import sqlite_url
from tests.conftest import People


def test_a_database_file_is_told_how_its_rows_are_spread(tmp_path: Path) -> None:
    config = Config(tmp_path, sqlite_url(tmp_path / "own.sqlite3"), secret_key="only for tests")
    prepare(config)
    with opened(config) as session:
        People(session)
        session.commit()
    measure(config)
    with opened(config) as session:
        told = session.scalars(text("SELECT DISTINCT tbl FROM sqlite_stat1")).all()
    assert {"fishroom", "membership"} <= set(told)
