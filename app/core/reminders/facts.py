"""What the reminder rules look at: plain facts of one morning, and the reminder they make."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from app.core.fry_care import BOX_DAYS, Care
from app.core.windows import Window

EVERYTHING = "fishroom:0"
"""The subject for which a rule is silenced as a whole."""


@dataclass(frozen=True, slots=True)
class DamFact:
    """A dam who waits for a drop, with what the reckoning says of her."""

    id: int
    code: str
    tank_id: int | None
    carrying_id: int
    p_carrying: float
    window: Window | None
    last_day: date | None
    overdue: bool
    line_id: int | None = None
    stored: bool = False
    """Whether no male was with her since her last drop, so that the next one is of sperm she kept."""


@dataclass(frozen=True, slots=True)
class BatchFact:
    """A batch that grows, with what the reckoning says of it.

    ``waiting`` are those who wait for fish like these, by the number of their wish, and ``promised`` is
    how many of the batch are promised.
    """

    id: int
    code: str
    tank_id: int | None
    alive: int
    born: date
    sexed: bool
    last_counted: date | None
    last_measured: date | None
    opens: date
    comfortable: date
    split_by: date
    ready: Window | None
    line_id: int | None = None
    waiting: tuple[tuple[int, str], ...] = ()
    promised: int = 0


@dataclass(frozen=True, slots=True)
class FishFact:
    """A fish in quarantine; ``planned`` where a plan asks for its daily looks and its end."""

    id: int
    code: str
    tank_id: int | None
    quarantine_until: date
    line_id: int | None = None
    planned: bool = False


@dataclass(frozen=True, slots=True)
class StepFact:
    """An open step of a running plan: what kind of plan, what kind of step, and its words."""

    id: int
    plan_id: int
    plan: str
    title: str
    step: str
    tank_id: int
    due_on: date
    words: str


@dataclass(frozen=True, slots=True)
class LostFact:
    """A morning's message to one address that did not go out, or may not have; the words say why."""

    channel_id: int
    shown: str
    day: date
    words: str


@dataclass(frozen=True, slots=True)
class LoggerFact:
    """A device that sent readings and was not heard for a day."""

    id: int
    name: str
    tank_id: int | None
    heard_on: date


@dataclass(frozen=True, slots=True)
class ProjectFact:
    """A waiting project with its likely start, or a running one with the line it has come to."""

    id: int
    aim: str
    line_id: int
    tank_id: int | None
    tank: str
    start: Window | None = None
    check_id: int | None = None
    check: str = ""


@dataclass(frozen=True, slots=True)
class Leads:
    """How many days ahead rules speak, where the keeper chose: by rule, and line or none for all lines."""

    chosen: Mapping[tuple[str, int | None], int] = field(default_factory=dict)

    def days(self, rule: str, line_id: int | None, usual: int) -> int:
        """Return what was chosen for the line, else for the fishroom, else the usual lead time."""
        return self.chosen.get((rule, line_id), self.chosen.get((rule, None), usual))


@dataclass(frozen=True, slots=True)
class LackFact:
    """What changes of water took of a running course; ``mark`` tells this occasion from the next."""

    plan_id: int
    title: str
    tank_id: int
    mark: str
    words: str


@dataclass(frozen=True, slots=True)
class FryFact:
    """A batch with the stages of its care, where it stands since when, and since when in a fry box.

    ``grown`` are the codes of older fish that stand in the same section.
    """

    id: int
    code: str
    tank_id: int | None
    born: date
    since: date
    care: tuple[Care, ...]
    box_since: date | None = None
    grown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NitrateFact:
    """Nitrate of a tank by today, and when it reaches the ceiling; ``mark`` tells this occasion."""

    now: float
    ceiling: float
    reaches: Window
    median: date
    mark: str


@dataclass(frozen=True, slots=True)
class RoomFact:
    """A tank: its last change of water, how much room its fish want, and its nitrate where known."""

    tank_id: int
    tank: str
    litres: float
    changed_on: date | None = None
    number: int = 0
    wants_litres: float = 0.0
    nitrate: NitrateFact | None = None


@dataclass(frozen=True, slots=True)
class StrayFact:
    """A reading outside what is wanted; ``mark`` tells this occasion from the next."""

    tank_id: int
    tank: str
    quantity: str
    name: str
    shown: str
    wanted: str
    high: bool
    read_on: date
    mark: str


@dataclass(frozen=True, slots=True)
class Facts:
    """One morning of one fishroom.

    ``muted`` holds the rules that are never to speak of a subject again, or, with ``EVERYTHING``, at all.
    ``hatching`` is the day on which a brine-shrimp hatch was last answered with done, if that was the
    last answer.
    """

    today: date
    dams: tuple[DamFact, ...] = ()
    batches: tuple[BatchFact, ...] = ()
    quarantined: tuple[FishFact, ...] = ()
    steps: tuple[StepFact, ...] = ()
    lacks: tuple[LackFact, ...] = ()
    lost: tuple[LostFact, ...] = ()
    silent_loggers: tuple[LoggerFact, ...] = ()
    projects: tuple[ProjectFact, ...] = ()
    fry: tuple[FryFact, ...] = ()
    rooms: tuple[RoomFact, ...] = ()
    strays: tuple[StrayFact, ...] = ()
    leads: Leads = field(default_factory=Leads)
    muted: frozenset[tuple[str, str]] = frozenset()
    hatching: date | None = None
    box_days: int = BOX_DAYS


@dataclass(frozen=True, slots=True)
class Subject:
    """Whom a reminder or a date is about: ``fish``, ``batch`` or ``plan``, its number and its code."""

    kind: str
    id: int
    label: str

    @property
    def key(self) -> str:
        """Name it in one word: ``fish:12``."""
        return f"{self.kind}:{self.id}"


@dataclass(frozen=True, slots=True)
class Reminder:
    """One thing to do, from ``due`` on and at the latest by ``until``.

    ``key`` names this one occasion: once it is answered, it is never asked again.
    """

    key: str
    rule: str
    subject: Subject
    tank_id: int | None
    due: date
    until: date | None
    words: str
    stage: str
    urgent: bool = False
