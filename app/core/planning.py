"""When tanks come free, and when each waiting project can start and would end."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from app.core.day_distribution import DayDistribution, latest
from app.core.method import Method
from app.core.problems import Problem
from app.core.windows import Window

LATE = date.max

METHOD = Method(
    key="planning",
    title="Tank free, and the queue of projects",
    words=(
        "A tank is free when its last batch is ready to rehome and has been turned round.",
        (
            "Projects are taken in the keeper's order. Each goes to the tank that suits it and has the "
            "earliest likely date; its start, end and the tank's next free date keep their whole spread."
        ),
    ),
    formulas=(
        "tank free = latest of its batches' ready dates + turn-round",
        "start = later of tank free and not-before; end = start + duration (convolved)",
    ),
    sources=("probability calculus; batches and projects taken as independent",),
)


@dataclass(frozen=True, slots=True)
class Project:
    """A waiting project: the tanks that suit it, how long it may last, and not before when.

    ``lasts`` holds the probability of each whole number of days, from 0 up.
    """

    key: str
    tanks: tuple[str, ...]
    lasts: tuple[float, ...]
    not_before: date | None = None


@dataclass(frozen=True, slots=True)
class Slot:
    """A project's place in the plan; dates are None where they may never come."""

    project: str
    tank: str
    start: DayDistribution
    end: DayDistribution

    @property
    def starts(self) -> date | None:
        """The median start."""
        return self.start.quantile(0.5)

    @property
    def start_80(self) -> Window | None:
        """The window of the start."""
        return self.start.window()

    @property
    def ends(self) -> date | None:
        """The median end."""
        return self.end.quantile(0.5)

    @property
    def end_80(self) -> Window | None:
        """The window of the end."""
        return self.end.window()


def tank_free(ready: Sequence[DayDistribution], today: date, turn_round_days: int = 0) -> DayDistribution:
    """Return when a tank is free: all its batches gone and the tank turned round.

    Parameters
    ----------
    ready : sequence of DayDistribution
        When each of its batches is ready to leave; none for an empty tank.
    today : date
        A tank is never free in the past.
    turn_round_days : int
        Days to clean and settle it; an empty tank needs none.
    """
    if turn_round_days < 0:
        raise Problem(f"{turn_round_days} days of turn-round can't be; give 0 or more", "turn_round_days")
    if not ready:
        return DayDistribution.sure(today)
    return latest([d.not_before(today) for d in ready]).shifted(turn_round_days)


def lasting(shortest: int, longest: int) -> tuple[float, ...]:
    """Spread a duration evenly from ``shortest`` to ``longest`` days, both included."""
    if not 0 <= shortest <= longest:
        raise Problem(
            f"from {shortest} to {longest} days can't be; give the shorter first, 0 or more", "lasts"
        )
    kinds = longest - shortest + 1
    return (*(0.0 for _ in range(shortest)), *(1 / kinds for _ in range(kinds)))


def schedule(
    queue: Sequence[Project], free: Mapping[str, DayDistribution], turn_round_days: int = 0
) -> tuple[Slot, ...]:
    """Place waiting projects on tanks, in the keeper's order.

    Parameters
    ----------
    queue : sequence of Project
        In the order the keeper wants them.
    free : mapping of tank to DayDistribution
        When each tank is free for the first of them.
    turn_round_days : int
        Days between one project's end and the next one's start in the same tank.

    Raises
    ------
    Problem
        When a project suits no tank there is.
    """
    until_free, plan = dict(free), []
    for project in queue:
        tank = _earliest(project, until_free)
        start = until_free[tank]
        if project.not_before:
            start = start.not_before(project.not_before)
        slot = Slot(project.key, tank, start, start.plus(project.lasts))
        until_free[tank] = slot.end.shifted(turn_round_days)
        plan.append(slot)
    return tuple(plan)


@dataclass(frozen=True, slots=True)
class Clash:
    """Two projects that want one tank: ``project`` could start when it is ``free``, but for ``behind``."""

    project: str
    behind: str
    tank: str
    free: DayDistribution


def clashes(
    queue: Sequence[Project], free: Mapping[str, DayDistribution], slots: Sequence[Slot]
) -> tuple[Clash, ...]:
    """Return the projects that wait for one before them in the queue, not for fish that stand there now.

    Parameters
    ----------
    queue, slots : sequences of Project and Slot
        The queue, and what :func:`schedule` made of it.
    free : mapping of tank to DayDistribution
        When each tank is free for the first of them.
    """
    found = []
    for place, (project, slot) in enumerate(zip(queue, slots, strict=True)):
        before = [earlier for earlier in slots[:place] if earlier.tank == slot.tank]
        alone = free[slot.tank].not_before(project.not_before or free[slot.tank].first)
        if before and (slot.starts or LATE) > (alone.quantile(0.5) or LATE):
            found.append(Clash(project.key, before[-1].project, slot.tank, alone))
    return tuple(found)


def _earliest(project: Project, free: Mapping[str, DayDistribution]) -> str:
    suits = [tank for tank in project.tanks if tank in free]
    if not suits:
        raise Problem(f"project {project.key} names no tank of the plan; give it one", "tanks")
    return min(suits, key=lambda tank: (free[tank].quantile(0.5) or LATE, project.tanks.index(tank)))
