"""When a wall clock's hour comes on a civil day, with daylight saving and quiet hours."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo


@dataclass(frozen=True, slots=True)
class Quiet:
    """The hours in which nothing is sent; they may go over midnight."""

    start: time
    end: time

    def holds(self, clock: time) -> bool:
        """Say whether it is quiet at ``clock``."""
        if self.start <= self.end:
            return self.start <= clock < self.end
        return clock >= self.start or clock < self.end


def moment_of(day: date, clock: time, zone: str) -> datetime:
    """Return when ``clock`` is shown on ``day``, in UTC.

    An hour that a day leaves out comes as much later as the clock leaps; of an hour that comes twice,
    the first counts (PEP 495, ``fold=0``).
    """
    return datetime.combine(day, clock, ZoneInfo(zone)).astimezone(UTC)


def send_clock(wanted: time, quiet: Quiet | None) -> time:
    """Return the clock at which a daily message goes: the one wanted, or the end of the quiet around it."""
    return quiet.end if quiet is not None and quiet.holds(wanted) else wanted


def is_time(now: datetime, zone: str, wanted: time, quiet: Quiet | None) -> bool:
    """Say whether the message of the civil day of ``now`` should have gone by now, and it is not quiet."""
    local = now.astimezone(ZoneInfo(zone))
    if quiet is not None and quiet.holds(local.time()):
        return False
    return now >= moment_of(local.date(), send_clock(wanted, quiet), zone)
