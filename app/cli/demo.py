"""The command ``broodwater demo``: an invented fishroom of its own, whose history ends today."""

import re
import socket
import tempfile
from datetime import date, datetime, timedelta
from pathlib import Path

import click
from platformdirs import user_data_path
from sqlalchemy import select

from app.cli.database import measure, opened, prepare
from app.cli.keys import with_key
from app.cli.parts import Parts
from app.cli.serving import answer, hold_port, port_of
from app.cli.terminal import now, tell
from app.config import Config
from app.services import accounts
from app.store.session import sqlite_url
from app.store.users import User

OURS = re.compile(r"demo-\d{4}-\d\d-\d\d-\w+\.sqlite3(-wal|-shm)?|loading\.sqlite3(-wal|-shm|-journal)?")


@click.command()
@click.option(
    "--port", type=click.IntRange(0, 65535), help="Port to listen on; else a free one from 8321 on."
)
@click.option("--data", type=click.Path(file_okay=False, path_type=Path), help="Folder to keep the demo in.")
@click.option("--today", metavar="DATE", help="The day it is in the demo, as YYYY-MM-DD; else today.")
@click.pass_obj
def demo(parts: Parts, port: int | None, data: Path | None, today: str | None) -> None:
    """Serve an invented fishroom to try things on.

    Loads it on first use and again on a new day, so that its history ends today. Prints one line
    on standard output: a link that signs you in once.
    """
    shift = _shift(today)
    with hold_port("127.0.0.1", port) as held:
        _serve(parts, _folder(data), held, shift)


def _serve(parts: Parts, folder: Path, held: socket.socket, shift: timedelta) -> None:
    address = f"http://127.0.0.1:{port_of(held)}"
    file = _loaded(parts, folder, now() + shift)
    config = with_key(Config(folder, sqlite_url(file), secret_key="", address=address, clock_shift=shift))
    measure(config)
    app = parts.application(config)
    link = f"{address}/sign-in/{_link(config, now() + shift)}"
    tell(f"Open this link; it signs you in once. {address} answers until Ctrl+C.")
    answer(app, held, config, ready=lambda: click.echo(link))


def _shift(today: str | None) -> timedelta:
    """Return how far the demo's clock stands from the real one, in whole days."""
    if today is None:
        return timedelta(0)
    try:
        return date.fromisoformat(today) - now().date()
    except ValueError as error:
        raise click.BadParameter(
            f"{today!r} is no date; write it like 2026-06-15", param_hint="--today"
        ) from error


def _folder(data: Path | None) -> Path:
    """Return a folder that can be written, the user's own unless one was given."""
    folder = data or user_data_path("broodwater", appauthor=False) / "demo"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return folder
    except OSError as error:
        if data is not None:
            raise click.ClickException(f"Cannot write in {folder}: {error.strerror}.") from error
        return Path(tempfile.mkdtemp(prefix="broodwater-demo-"))


def _loaded(parts: Parts, folder: Path, moment: datetime) -> Path:
    """Return the database file of the day, loaded first where it is not there."""
    file = folder / f"demo-{moment.date().isoformat()}-{parts.demo_version()}.sqlite3"
    if file.exists():
        return file
    before = [path for path in folder.iterdir() if OURS.fullmatch(path.name)]
    tell(f"Loading the demo fishroom as of {moment.date()} into {folder} ...")
    for path in before:
        path.unlink()
    loading = folder / "loading.sqlite3"
    _load(parts, Config(folder, sqlite_url(loading), secret_key=""), moment)
    loading.rename(file)
    return file


def _load(parts: Parts, config: Config, moment: datetime) -> None:
    started = now()
    prepare(config)
    tell("  tables made; playing eighteen months of records ...")
    with opened(config) as session:
        parts.load_demo(session, moment, tell)
        session.commit()
    tell(f"  loaded in {(now() - started).total_seconds():.0f} s. What you change lasts until tomorrow.")


def _link(config: Config, moment: datetime) -> str:
    """Return a token that signs the demo's keeper in once."""
    with opened(config) as session:
        keeper = session.scalars(select(User).order_by(User.id)).first()
        if keeper is None:
            raise click.ClickException(f"The demo in {config.data} has no keeper; delete that folder.")
        token = accounts.make_link(session, keeper, moment)
        session.commit()
    return token
