"""``broodwater demo``: an invented fishroom on this machine, one sign-in link, nothing to set up."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import click
from platformdirs import user_data_path
from sqlalchemy import select

from app.cli.hosting import configured, free_port, migrate, serve_until_stopped
from app.cli.parts import Parts
from app.config import Config
from app.services import accounts
from app.store.session import make_engine, make_sessions, sqlite_url
from app.store.users import User

LOADED = "loaded-for"
HOST = "127.0.0.1"


@click.command()
@click.option("--port", type=int, help="Port to listen on; a free one from 8321 on unless said.")
@click.option(
    "--data",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder of the demo's database; the user's data folder unless said.",
)
@click.option("--today", type=click.DateTime(["%Y-%m-%d"]), help="The day the demo takes for today.")
@click.pass_obj
def demo(parts: Parts, port: int | None, data: Path | None, today: datetime | None) -> None:
    """Load an invented fishroom, print one sign-in link, and serve it until stopped."""
    now = datetime.now(UTC)  # noqa: TID251 - the edge where the clock is read
    shift = timedelta(0) if today is None else timedelta(days=(today.date() - now.date()).days)
    config = _config(data)
    _prepare(parts, config, now + shift)
    port = free_port(HOST, port, 8321)
    config = replace(config, address=f"http://{HOST}:{port}", clock_shift=shift)
    app = parts.application(config)
    click.echo(f"{config.address}/sign-in/{_link(config, now + shift)}")
    serve_until_stopped(app, HOST, port, config.threads)


def _config(data: Path | None) -> Config:
    folder = data or Path(user_data_path("broodwater", appauthor=False)) / "demo"
    return replace(configured(folder), database=sqlite_url(folder / "demo.sqlite3"))


def _prepare(parts: Parts, config: Config, now: datetime) -> None:
    """Load the fishroom, unless it stands there already for the same day."""
    marker = config.data / LOADED
    if marker.exists() and marker.read_text(encoding="ascii") == now.date().isoformat():
        return
    marker.unlink(missing_ok=True)
    for old in config.data.glob("demo.sqlite3*"):
        old.unlink()
    _say("Making the database …")
    migrate(config)
    engine = make_engine(config.database)
    with make_sessions(engine)() as session:
        parts.load_demo(session, now, _say)
        session.commit()
    engine.dispose()
    marker.write_text(now.date().isoformat(), encoding="ascii")


def _say(words: str) -> None:
    click.echo(words, err=True)


def _link(config: Config, now: datetime) -> str:
    engine = make_engine(config.database)
    with make_sessions(engine)() as session:
        keeper = session.scalars(select(User).order_by(User.id)).first()
        assert keeper is not None  # noqa: S101 - the demo's first user is its keeper
        token = accounts.make_link(session, keeper, now)
        session.commit()
    engine.dispose()
    return token
