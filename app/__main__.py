"""The command ``broodwater``: the one place that hands the web application and the demo to the commands."""

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from app.cli.main import commands
from app.cli.parts import Parts

if TYPE_CHECKING:
    from wsgiref.types import WSGIApplication

    from sqlalchemy.orm import Session

    from app.config import Config


def _application(config: "Config") -> "WSGIApplication":
    from app.web.factory import create_app  # noqa: PLC0415 - reckon starts without the web

    return create_app(config)


def _demo(session: "Session", now: datetime, say: Callable[[str], None]) -> None:
    from seed_demo.story import load  # noqa: PLC0415 - only the demo needs its story

    load(session, now, say)


def _demo_version() -> str:
    from seed_demo.story import version  # noqa: PLC0415 - only the demo needs its story

    return version()


def main() -> None:
    """Run the command line."""
    commands(obj=Parts(_application, _demo, _demo_version))


if __name__ == "__main__":
    main()
