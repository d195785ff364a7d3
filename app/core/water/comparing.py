"""Whether a test and the ledger agree, as far as a kit can tell."""

from app.core.water.ledger import Held
from app.core.water.levels import show_held

APART = 0.1
"""A share by which a test and the ledger may differ before it is worth a word (judgement)."""
KIT = {Held.SALT: 0.3, Held.GH: 1.0, Held.KH: 1.0}
"""What a hydrometer or a drop kit resolves, in the unit of each (judgement: one drop, a fine scale)."""


def disagreement(held: Held, tested: float, expected: float | None) -> str:
    """Return how a test differs from what the ledger says, and what to ask; nothing where they agree.

    Parameters
    ----------
    held : Held
        What was tested; nitrate is never compared, since fish make it.
    tested : float
        In the unit of ``held``.
    expected : float, optional
        By the ledger at that moment, None where it is not known.
    """
    if expected is None or held not in KIT:
        return ""
    off = tested - expected
    if abs(off) < KIT[held] or abs(off) < APART * expected:
        return ""
    if expected < KIT[held]:
        return f"The ledger says {_none(held, expected)}: was a dose not logged?"
    share = round(100 * abs(off) / expected)
    asked = "was a change not logged?" if off < 0 else "was a dose not logged, or has water evaporated?"
    return f"{share} % {'lower' if off < 0 else 'higher'} than the ledger says: {asked}"


def _none(held: Held, expected: float) -> str:
    return "none" if expected == 0 else show_held(held, expected)
