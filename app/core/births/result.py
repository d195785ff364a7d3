"""What a birth forecast says."""

from dataclasses import dataclass
from datetime import date

from app.core.births.sizes import BroodSize
from app.core.why import Why
from app.core.windows import Window


@dataclass(frozen=True, slots=True)
class BirthForecast:
    """When the next drop falls, and whether there is one.

    ``cdf`` gives P(drop on or before day) for a dam that carries, no drop having come before
    today; the first row is today. ``p_carrying`` is the chance that she does. ``later_drops`` are
    80 % windows of the drops after this one and ``later_chances`` what each still has going for it.
    Dates are None and the cdf is empty where none can be given; ``notes`` say why.
    """

    p_carrying: float
    median: date | None
    window_80: Window | None
    window_95: Window | None
    cdf: tuple[tuple[date, float], ...]
    later_drops: tuple[Window, ...]
    later_chances: tuple[float, ...]
    brood_size: BroodSize | None
    fry_per_week: float | None
    overdue: bool
    confidence: str
    notes: tuple[str, ...]
    method: str
    why: Why
