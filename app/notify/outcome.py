"""What became of a message: gone, surely not gone, never to go, or not known."""

from dataclasses import dataclass
from enum import StrEnum


class Fate(StrEnum):
    """How a sending ended."""

    SENT = "sent"
    RETRY = "did not go out; may later"
    FAILED = "did not go out, and will not"
    UNKNOWN = "may or may not have gone out"


@dataclass(frozen=True, slots=True)
class Outcome:
    """The fate of one sending, and a sentence for whoever waits for it."""

    fate: Fate
    words: str = ""


@dataclass(frozen=True, slots=True)
class Message:
    """What is sent; ``name`` stays the same for the same message, so that a mailbox can tell a double."""

    name: str
    title: str
    text: str
    html: str = ""
