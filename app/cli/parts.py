"""What the commands are given from above, so that the terminal need not know the web or the demo."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime
    from wsgiref.types import WSGIApplication

    from sqlalchemy.orm import Session

    from app.config import Config


@dataclass(frozen=True, slots=True)
class Parts:
    """The makers that ``serve`` and ``demo`` call once they need them."""

    application: "Callable[[Config], WSGIApplication]"
    load_demo: "Callable[[Session, datetime, Callable[[str], None]], None]"
    demo_version: Callable[[], str]
