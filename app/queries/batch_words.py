"""How a batch's entries are told, the same on its own page and on its brood's."""

from app.core.quantities import show_length
from app.core.wording import listed, many
from app.store.actor import Actor
from app.store.batches import Count, LengthCheck, Loss
from app.store.rehomings import Rehoming


def count_words(count: Count) -> str:
    """Return ``12 counted: 7 females and 5 males``."""
    pairs = ((count.females, "female"), (count.males, "male"))
    sexes = [many(number, word) for number, word in pairs if number is not None]
    return f"{count.alive} counted" + (f": {listed(sexes)}" if sexes else "")


def loss_words(loss: Loss) -> str:
    """Return ``2 lost, cause unknown``."""
    return f"{loss.number} lost, cause {loss.cause.value}"


def check_words(actor: Actor, check: LengthCheck) -> str:
    """Return ``5 measured, mean 12.5 mm total length``."""
    mean = show_length(check.mean_mm, actor.units)
    return f"{check.n} measured, mean {mean} {check.kind.value} length"


def rehoming_words(rehoming: Rehoming) -> str:
    """Return ``6 rehomed to the club``."""
    return f"{rehoming.number} rehomed{f' to {rehoming.to_whom}' if rehoming.to_whom else ''}"
