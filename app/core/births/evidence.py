"""What a birth forecast rests on: how the wait began, earlier intervals, the tank's temperature."""

from dataclasses import dataclass
from datetime import date, timedelta

from app.core.problems import Problem
from app.core.species import Species
from app.core.thermal import TemperatureLog, celsius


@dataclass(frozen=True, slots=True)
class LastDrop:
    """Her last drop, between two dates (both included; the same date when it was seen)."""

    earliest: date
    latest: date


@dataclass(frozen=True, slots=True)
class Exposed:
    """The days she stood with males; ``end`` is None while they are still with her."""

    start: date
    end: date | None = None


@dataclass(frozen=True, slots=True)
class Arrived:
    """The day she was bought, and whether she had been with males (None: unknown)."""

    on: date
    with_males: bool | None = None


Start = LastDrop | Exposed | Arrived


@dataclass(frozen=True, slots=True)
class OwnInterval:
    """Days between two successive drops, as a span where a drop was logged between two dates."""

    days_low: float
    days_high: float
    mean_temp_c: float | None = None

    def __post_init__(self) -> None:
        if self.days_low < 1:
            raise Problem(
                f"an interval of {self.days_low:g} days: the drops are out of order; "
                "give them oldest first, each interval 1 or more",
                "interval_days",
            )
        if self.days_high < self.days_low:
            raise Problem(
                f"an interval from {self.days_low:g} to {self.days_high:g} days ends before it starts",
                "interval_days",
            )
        if self.mean_temp_c is not None:
            celsius(self.mean_temp_c, "mean_temp_c")

    @property
    def middle(self) -> float:
        """The middle of the span, days."""
        return (self.days_low + self.days_high) / 2

    @property
    def variance(self) -> float:
        """Variance of a uniform spread over the span, days squared."""
        return (self.days_high - self.days_low) ** 2 / 12


DamHistory = tuple[OwnInterval, ...]
"""One dam's intervals, oldest first."""

LineHistory = tuple[DamHistory, ...]
"""The dams of one line."""


@dataclass(frozen=True, slots=True)
class BirthEvidence:
    """Everything known about one dam's coming drop on the morning of ``today``.

    No drop has been seen so far, so it comes today or later.

    ``history`` is the dam's own, ``kin_history`` holds the other dams of her line,
    ``fishroom_history`` the other lines of the species in the fishroom. ``brood_number`` is the
    number of the awaited drop, 1 for her first. ``males_until`` is the day the last male left her
    (None: males are with her, or her sperm is fresh). A species that stores no sperm cannot follow
    a ``LastDrop`` if ``males_until`` lies before it.
    """

    species: Species
    today: date
    start: Start
    virgin: bool = False
    history: DamHistory = ()
    kin_history: LineHistory = ()
    fishroom_history: tuple[LineHistory, ...] = ()
    brood_number: int | None = None
    temperature: TemperatureLog | None = None
    dam_length_mm: float | None = None
    males_until: date | None = None
    own_brood_sizes: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        _check_dates(self.start, self.today, self.males_until)
        _check_virgin(self)
        if self.brood_number is not None and self.brood_number < 1:
            raise Problem(f"brood number {self.brood_number}; the first brood is 1", "brood_number")
        if self.dam_length_mm is not None and not 5 <= self.dam_length_mm <= 200:
            raise Problem(
                f"a dam of {self.dam_length_mm:g} mm; give her total length in mm, 5 to 200", "dam_length_mm"
            )
        if any(size < 0 for size in self.own_brood_sizes):
            raise Problem("a brood below 0 fry; count live and dead fry together", "own_brood_sizes")

    @property
    def usual_c(self) -> float:
        """The temperature to expect where none was logged, °C."""
        return self.temperature.set_point_c if self.temperature else 25.0

    @property
    def interval_number(self) -> int | None:
        """Which interval of her life is running (1 follows her first drop); None when unknown."""
        if self.brood_number is not None:
            return max(self.brood_number - 1, 1)
        return len(self.history) + 1 if self.history else None


def starts(start: Start) -> tuple[date, str]:
    """Return the first day of the wait, and its name for messages."""
    match start:
        case LastDrop(earliest=day):
            return day, "last_drop"
        case Exposed(start=day):
            return day, "exposed_from"
        case Arrived(on=day):
            return day, "arrived"


def _check_dates(start: Start, today: date, males_until: date | None) -> None:
    first, name = starts(start)
    last = start.latest if isinstance(start, LastDrop) else first
    if last < first:
        raise Problem(f"the last drop ends on {last}, before it starts on {first}", name)
    if last > today:
        raise Problem(f"{last} is after today ({today}); give a day that has been", name)
    if today - first > timedelta(days=2000):
        raise Problem(f"{first} is more than five years before today; give her latest", name)
    if isinstance(start, Exposed) and start.end is not None and start.end < start.start:
        raise Problem(f"the males left on {start.end}, before they came on {start.start}", "exposed_to")
    if males_until is not None and males_until > today:
        raise Problem(f"the last male left on {males_until}, after today; leave it out", "males_until")


def _check_virgin(told: BirthEvidence) -> None:
    if not told.virgin:
        return
    if isinstance(told.start, LastDrop):
        raise Problem("a virgin dam has had no drop; give exposed_from", "virgin")
    if isinstance(told.start, Arrived) and told.start.with_males:
        raise Problem("a dam that has been with males is no virgin; leave one of the two out", "virgin")
    if told.brood_number not in {None, 1}:
        raise Problem(
            f"brood number {told.brood_number} of a virgin dam; her first is 1, or leave one of the two out",
            "brood_number",
        )
    if told.history:
        raise Problem("a virgin dam has no intervals between drops; leave history out", "virgin")
