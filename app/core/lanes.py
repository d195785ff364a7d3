"""How the almanac is laid out: one lane a tank, stays and windows along a shared date axis."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.core.ribbon import Ribbon, Scale, Tick
from app.core.wording import span_words


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


@dataclass(frozen=True, slots=True)
class Stay:
    """Fish standing in a tank for a while."""

    x: float
    width: float
    stage: str
    label: str
    words: str
    url: str
    track: int = 0


@dataclass(frozen=True, slots=True)
class LaneWindow:
    """A forecast in a lane; its ribbon is drawn on the shared axis."""

    ribbon: Ribbon
    words: str
    url: str
    track: int = 0


@dataclass(frozen=True, slots=True)
class Lane:
    """One tank's row of the almanac."""

    name: str
    sub: str
    url: str
    stays: tuple[Stay, ...]
    windows: tuple[LaneWindow, ...]

    @property
    def tracks(self) -> int:
        """Return how many rows of marks the lane needs."""
        used = [*(s.track for s in self.stays), *(w.track for w in self.windows)]
        return 1 + max(used, default=0)


def axis(start: date, end: date, today: date, most_ticks: int = 14) -> Axis:
    """Return the shared axis from ``start`` to ``end``, both included."""
    scale = Scale(start, end)
    words = f"From {span_words(start, end, today)}"
    return Axis(start, end, scale.ticks(most_ticks), scale.middle(today), words)


def stay(along: Axis, start: date, end: date | None, stage: str, label: str, words: str, url: str) -> Stay:
    """Place a stay on the axis; an open one (``end`` None) runs to the axis' end."""
    scale = Scale(along.start, along.end)
    left = scale.left(start)
    right = scale.left((end or along.end) + timedelta(days=1))
    return Stay(left, max(scale.cell, right - left), stage, label, words, url)


def lane(name: str, sub: str, url: str, stays: Sequence[Stay], windows: Sequence[LaneWindow]) -> Lane:
    """Lay marks in as few tracks as keep them apart, stays above windows."""
    ends: list[float] = []
    placed = [replace(s, track=_track(ends, s.x, s.x + s.width)) for s in sorted(stays, key=lambda s: s.x)]
    first = len(ends)
    below: list[float] = []
    shown = [
        replace(w, track=first + _track(below, *_reach(w.ribbon)))
        for w in sorted(windows, key=lambda w: w.ribbon.edge_from_x)
    ]
    return Lane(name, sub, url, tuple(placed), tuple(shown))


def _reach(ribbon: Ribbon) -> tuple[float, float]:
    lefts = [ribbon.edge_from_x, *(b.x for b in ribbon.bins)]
    rights = [ribbon.edge_to_x, *(b.x + b.width for b in ribbon.bins)]
    return min(lefts), max(rights)


def _track(ends: list[float], left: float, right: float) -> int:
    """Take the first track that is free at ``left``, and mark it taken up to ``right``."""
    free = next((i for i, end in enumerate(ends) if end <= left), len(ends))
    ends[free:] = [right, *ends[free + 1 :]]
    return free
