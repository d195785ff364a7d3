"""Holds a port and answers on it until it is stopped."""

import errno
import signal
import socket
from collections.abc import Callable
from types import FrameType
from typing import TYPE_CHECKING, NoReturn

import click

from app.config import LARGEST_REQUEST, Config

if TYPE_CHECKING:
    from wsgiref.types import WSGIApplication

FIRST_PORT = 8321
PORTS_TRIED = 20
BACKLOG = 128


def hold_port(host: str, port: int | None) -> socket.socket:
    """Return a listening socket on ``port``, else on the first free one from 8321 on."""
    if port is not None:
        return _bound(host, port)
    for candidate in range(FIRST_PORT, FIRST_PORT + PORTS_TRIED):
        try:
            return _bound(host, candidate)
        except PortTaken:
            continue
    return _bound(host, 0)


class PortTaken(click.ClickException):
    """Somebody else answers there."""


def _bound(host: str, port: int) -> socket.socket:
    try:
        held = _listening(host, port)
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            raise PortTaken(f"Port {port} is in use. Stop what uses it, or choose another --port.") from error
        raise click.ClickException(f"Cannot listen on {host}, port {port}: {error.strerror}.") from error
    return held


def _listening(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    held = socket.socket(family, socket.SOCK_STREAM)
    try:
        held.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        held.bind((host, port))
        held.listen(BACKLOG)
    except OSError:
        held.close()
        raise
    return held


def port_of(held: socket.socket) -> int:
    """Return the port that is held."""
    return int(held.getsockname()[1])


def answer(app: "WSGIApplication", held: socket.socket, config: Config, ready: Callable[[], None]) -> None:
    """Answer until interrupted or told to end; call ``ready`` once both work."""
    from waitress.server import create_server  # noqa: PLC0415 - `check` and `user` never serve

    proxy = (
        {"trusted_proxy": "127.0.0.1", "trusted_proxy_headers": "x-forwarded-for", "url_scheme": "https"}
        if config.secure
        else {}
    )
    server = create_server(
        app,
        sockets=[held],
        threads=config.threads,
        ident=None,
        max_request_body_size=LARGEST_REQUEST + 1,  # Waitress refuses from here on; the page says it kindly
        **proxy,
    )
    signal.signal(signal.SIGTERM, _end)
    ready()
    try:
        server.run()
    finally:
        server.close()


def _end(_number: int, _frame: FrameType | None) -> NoReturn:
    raise SystemExit(0)
