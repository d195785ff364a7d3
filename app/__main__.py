"""The command ``broodwater``: the one place that hands the web application and the demo to the commands."""

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from app.cli.main import commands
from app.cli.parts import Parts
from app.config import Config

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication
    from sqlalchemy.orm import Session


def _application(config: Config) -> "WSGIApplication":
    from app.web.factory import create_app  # noqa: PLC0415 - reckon starts without the web

    return create_app(config).wsgi_app


def _demo(session: "Session", now: datetime, say: Callable[[str], None]) -> None:
    from seed_demo.story import load  # noqa: PLC0415 - only the demo needs its story

    load(session, now, say)


def main() -> None:
    """Run the command line."""
    commands(obj=Parts(_application, _demo))


if __name__ == "__main__":
    main()
