"""What serve and demo share: the data folder, the server's key, the database, the listening socket."""

import logging
import os
import secrets
import socket
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click
from waitress.server import create_server

from app.config import BadSetting, Config, read
from app.store import migrating

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

KEY_FILE = "secret-key"


def configured(data: Path | None = None) -> Config:
    """Read the settings, make the data folder, and bring the key."""
    try:
        config = read(data=data)
    except BadSetting as error:
        raise click.ClickException(str(error)) from error
    config.data.mkdir(parents=True, exist_ok=True)
    return config if config.secret_key else replace(config, secret_key=_kept_key(config.data))


def _kept_key(folder: Path) -> str:
    """Return the key that signs sessions: made once, readable by the server's user only."""
    path = folder / KEY_FILE
    if not path.exists():
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "w", encoding="ascii") as file:
            file.write(secrets.token_hex(32))
    return path.read_text(encoding="ascii").strip()


def migrate(config: Config) -> None:
    """Bring the database to the newest step."""
    logging.getLogger("alembic").setLevel(logging.WARNING)
    migrating.upgrade(config.database)


def free_port(host: str, wanted: int | None, fallback: int) -> int:
    """Return a port to listen on: the one asked for or a free one; say so where it is taken."""
    if wanted is None:
        return next((port for port in range(fallback, fallback + 50) if _is_free(host, port)), 0)
    if not _is_free(host, wanted):
        raise click.ClickException(f"Port {wanted} is in use. Choose another with --port.")
    return wanted


def _is_free(host: str, port: int) -> bool:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError:
            return False
    return True


def serve_until_stopped(app: "WSGIApplication", host: str, port: int, threads: int) -> None:
    """Answer requests until the process is stopped."""
    server = create_server(
        app, host=host, port=port, threads=threads, ident=None, clear_untrusted_proxy_headers=True
    )
    try:
        server.run()
    finally:
        server.close()
