"""What the commands are handed from outside: the web application and the demo's story."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy.orm import Session

from app.config import Config

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication


@dataclass(frozen=True, slots=True)
class Parts:
    """Commands know neither Flask nor the demo; they call what stands here."""

    application: "Callable[[Config], WSGIApplication]"
    load_demo: Callable[[Session, datetime, Callable[[str], None]], None]
