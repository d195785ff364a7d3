"""The database the tests run on: SQLite unless BROODWATER_TEST_DATABASE names another."""

import os
from pathlib import Path

from sqlalchemy import Engine

from app.store import migrating
from app.store.session import make_engine, sqlite_url


def test_url(folder: Path) -> str:
    """Return the address of the tests' database."""
    return os.environ.get("BROODWATER_TEST_DATABASE") or sqlite_url(folder / "tests.sqlite3")


def migrated(url: str) -> Engine:
    """Return an engine on a database brought to the newest step, empty of rows."""
    if url.startswith("postgresql"):
        migrating.downgrade(url, "base")
    migrating.upgrade(url)
    return make_engine(url)
