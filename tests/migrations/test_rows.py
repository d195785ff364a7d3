"""Rows survive every step of the migrations, there and back, on the database of the run."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, func, inspect, select, table

from app.store import migrating
from app.store.session import enter, make_engine, make_sessions
from tests.conftest import People
from tests.factories import Made
from tests.support.database import emptied, own_url

REBUILD = '''"""Rebuild the parents that most rows hang on, as a later step may have to."""

import sqlalchemy as sa
from alembic import op

revision = "rebuild"
down_revision = "{head}"
branch_labels = None
depends_on = None


def upgrade():
    for parent in ("fishroom", "tank", "fish", "batch"):
        with op.batch_alter_table(parent, recreate="{recreate}") as batch:
            batch.add_column(sa.Column("tried", sa.String(9), nullable=False, server_default="yes"))


def downgrade():
    for parent in ("batch", "fish", "tank", "fishroom"):
        with op.batch_alter_table(parent, recreate="{recreate}") as batch:
            batch.drop_column("tried")
'''


@pytest.fixture
def url(tmp_path: Path) -> Iterator[str]:
    """A database at the newest step, with rows that hang on each other."""
    address = emptied(own_url(tmp_path, "rows"))
    migrating.upgrade(address)
    engine = make_engine(address)
    with make_sessions(engine)() as session:
        keeper = People(session).keeper
        enter(session, keeper.fishroom_id)
        made = Made(session, keeper)
        line, section = made.line(), made.section()
        made.dam(line, section)
        made.sire(line, section)
        made.batch(line, section)
        session.commit()
    engine.dispose()
    yield address
    emptied(address)


def counted(url: str) -> dict[str, int]:
    """Return how many rows each table holds."""
    engine: Engine = make_engine(url)
    with engine.connect() as connection:
        names = inspect(connection).get_table_names()
        found = {
            name: connection.scalar(select(func.count()).select_from(table(name))) or 0 for name in names
        }
    engine.dispose()
    return {name: count for name, count in found.items() if name != "alembic_version"}


def changed(before: dict[str, int], after: dict[str, int]) -> dict[str, tuple[int, int]]:
    """Return the tables whose number of rows changed, of those that were there before and after."""
    return {
        name: (before[name], after[name])
        for name in before.keys() & after.keys()
        if before[name] != after[name]
    }


def test_the_rows_hang_on_each_other(url: str) -> None:
    full = counted(url)
    assert {name for name, count in full.items() if count} >= {"fishroom", "tank", "stay", "change", "batch"}


def test_rows_survive_every_step_back_and_forth(url: str) -> None:
    steps = migrating.steps()
    walk = [(migrating.downgrade, step) for step in reversed(steps[:-1])]
    walk += [(migrating.upgrade, step) for step in steps[1:]]
    at = counted(url)
    for take, step in walk:
        take(url, step)
        now = counted(url)
        assert changed(at, now) == {}, step
        at = now


def test_rebuilding_a_parent_leaves_its_children(url: str, tmp_path: Path) -> None:
    config = _with_one_more_step(url, tmp_path)
    before = counted(url)
    command.upgrade(config, "rebuild")
    assert counted(url) == before
    command.downgrade(config, migrating.steps()[-1])
    assert counted(url) == before


def _with_one_more_step(url: str, folder: Path) -> Config:
    recreate = "always" if url.startswith("sqlite") else "auto"
    step = REBUILD.format(head=migrating.steps()[-1], recreate=recreate)
    (folder / "more").mkdir()
    (folder / "more" / "rebuild.py").write_text(step)
    config = Config()
    config.set_main_option("script_location", str(migrating.MIGRATIONS))
    config.set_main_option("path_separator", "os")
    config.set_main_option("version_locations", f"{migrating.MIGRATIONS / 'versions'}:{folder / 'more'}")
    config.set_main_option("sqlalchemy.url", url.replace("%", "%%"))
    return config
