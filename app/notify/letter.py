"""How a morning's message is written: plain text, and the same as simple HTML for mail."""

from functools import lru_cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from app.core.digest import Digest, plain_text
from app.core.wording import weekday_words
from app.notify.outcome import Message

TEMPLATES = Path(__file__).resolve().parents[2] / "templates" / "mail"


@lru_cache(maxsize=1)
def _pages() -> Environment:
    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def letter(message: Digest, name: str, address: str) -> Message:
    """Return a morning's message; ``address`` is where the server is reached."""
    stop = f"When and where this comes, and how to stop it: {address}/settings/messages"
    html = (
        _pages()
        .get_template("digest.html")
        .render(message=message, address=address, day=weekday_words(message.today, message.today))
    )
    return Message(name, message.title, plain_text(message, f"{address}/", stop), html)


def trial(fishroom: str, clock: str, name: str, address: str) -> Message:
    """Return the message of a test."""
    return Message(
        name,
        f"{fishroom}: a test",
        f"This is how the morning message of {fishroom} arrives. It comes at {clock} on days on which "
        "there is something new to do, and on others where the fishroom asks for it.\n\n"
        f"When and where it comes, and how to stop it: {address}/settings/messages",
    )
