"""How the almanac is laid out: a lane a tank, in it a row for each fish or batch, along one axis of dates."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.core.ribbon import WIDTH, Ribbon, Scale, Tick
from app.core.wording import span_words

DAY = 8.0  # px that a day has at least on the screen; static/css/almanac.css holds the same
LETTER = 7.4  # px, as in app.core.ribbon
SHAPE = 24.0  # px that the shape before a word takes, with air around it
SIZES = ((50, "short"), (95, "season"), (190, "half"))  # days up to which an axis is called so
PAPER = (
    21,
    27,
    35,
    46,
)  # tracks up to which a landscape page holds them, at the sizes of static/css/almanac.css
DEEP = 0.3  # of the deepest day; beyond it a word may stand on the ribbon


@dataclass(frozen=True, slots=True)
class Axis:
    """The shared axis: weeks marked, today where it falls on it."""

    start: date
    end: date
    ticks: tuple[Tick, ...]
    today_x: float | None
    words: str

    @property
    def span(self) -> tuple[date, date]:
        """Return first and last day, as the ribbon functions take them."""
        return self.start, self.end

    @property
    def days(self) -> int:
        """Return how many days it shows."""
        return (self.end - self.start).days + 1

    @property
    def size(self) -> str:
        """Return how long it is: ``short``, ``season``, ``half`` or ``year``."""
        return next((size for most, size in SIZES if self.days <= most), "year")


@dataclass(frozen=True, slots=True)
class Stay:
    """A fish or batch that stands in a tank, or a project in it; ``word`` names one with no window."""

    x: float
    width: float
    stage: str
    words: str
    word: str = ""


@dataclass(frozen=True, slots=True)
class LaneWindow:
    """A forecast in a row: its ribbon on the shared axis, and one word saying what it is of.

    The word begins at ``word_x``, ``after`` the window or ``in`` it, or ends there, ``before`` it.
    """

    ribbon: Ribbon
    word: str
    words: str
    word_x: float = 0.0
    side: str = "after"
    track: int = 0


@dataclass(frozen=True, slots=True)
class Row:
    """One fish or batch of a tank."""

    label: str
    url: str
    stays: tuple[Stay, ...] = ()
    windows: tuple[LaneWindow, ...] = ()

    @property
    def tracks(self) -> int:
        """Return how many lines its windows need."""
        return 1 + max((w.track for w in self.windows), default=0)

    @property
    def soonest(self) -> float:
        """Return where its first window begins, beyond the axis for none."""
        return min((w.ribbon.edge_from_x for w in self.windows), default=WIDTH + 1)


@dataclass(frozen=True, slots=True)
class Lane:
    """One tank of the almanac; ``sub`` says why it has no rows."""

    name: str
    sub: str
    url: str
    rows: tuple[Row, ...]

    @property
    def tracks(self) -> int:
        """Return how many lines it takes."""
        return max(1, sum(row.tracks for row in self.rows))


def axis(start: date, end: date, today: date) -> Axis:
    """Return the shared axis from ``start`` to ``end``, both included."""
    scale = Scale(start, end)
    return Axis(start, end, scale.marked(7), scale.middle(today), span_words(start, end, today))


def stay(along: Axis, start: date, end: date | None, stage: str, words: str, word: str = "") -> Stay:
    """Place a stay on the axis; an open one (``end`` None) runs to the axis' end."""
    scale = Scale(along.start, along.end)
    left = scale.left(start)
    right = scale.left((end or along.end) + timedelta(days=1))
    return Stay(left, max(scale.cell, right - left), stage, words, word)


def row(along: Axis, label: str, url: str, stays: Sequence[Stay], windows: Sequence[LaneWindow]) -> Row:
    """Lay windows and their words in as few tracks as keep them apart."""
    ends: list[float] = []
    placed = []
    for window in sorted(windows, key=lambda w: w.ribbon.edge_from_x):
        told, left, right = _beside(along, window)
        placed.append(replace(told, track=_track(ends, left, right)))
    return Row(label, url, tuple(sorted(stays, key=lambda s: s.x)), tuple(placed))


def lane(name: str, sub: str, url: str, rows: Sequence[Row]) -> Lane:
    """Put a tank's rows in the order in which something comes up."""
    return Lane(name, sub, url, tuple(sorted(rows, key=lambda r: (r.soonest, r.label))))


def paper(lanes: Sequence[Lane]) -> int:
    """Return how far to shrink for one landscape page: 0 not at all, up to 4 as far as can be read."""
    tracks = sum(one.tracks for one in lanes)
    return next((step for step, most in enumerate(PAPER) if tracks <= most), len(PAPER))


def _beside(along: Axis, window: LaneWindow) -> tuple[LaneWindow, float, float]:
    """Find a place for the word, and return from where to where both reach."""
    ribbon = window.ribbon
    room = (SHAPE + LETTER * len(window.word)) / (DAY * along.days) * WIDTH
    if ribbon.median_x is None and ribbon.edge_to_x - ribbon.edge_from_x >= room:
        return replace(window, word_x=ribbon.edge_from_x, side="in"), ribbon.edge_from_x, ribbon.edge_to_x
    deep = [b for b in ribbon.bins if b.opacity >= DEEP]
    left = min(ribbon.edge_from_x, *(b.x for b in deep), WIDTH)
    right = max(ribbon.edge_to_x, *(b.x + b.width for b in deep), 0.0)
    if right + room <= WIDTH:
        return replace(window, word_x=right), left, right + room
    return replace(window, word_x=left, side="before"), left - room, right


def _track(ends: list[float], left: float, right: float) -> int:
    """Take the first track that is free at ``left``, and mark it taken up to ``right``."""
    free = next((i for i, end in enumerate(ends) if end <= left), len(ends))
    ends[free:] = [right, *ends[free + 1 :]]
    return free
