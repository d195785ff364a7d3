"""The reasons behind a forecast, in a shape that page, mail and terminal can all phrase."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Used:
    """One piece of evidence: what it is, what it says, and how much it counts (0 to 1)."""

    what: str
    value: str
    weight: float | None = None


@dataclass(frozen=True, slots=True)
class Why:
    """Why a forecast says what it says.

    ``method`` is a key of :data:`app.core.methods.METHODS`; ``narrower`` lists what the keeper
    could log to make the window narrower.
    """

    method: str
    used: tuple[Used, ...]
    prior: str
    source: str
    confidence: str
    narrower: tuple[str, ...] = ()
