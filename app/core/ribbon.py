"""How a window is drawn: days to lengths along an axis of 1000, and the sentence that says the same."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import chain, pairwise

from app.core.problems import Problem
from app.core.windows import Window
from app.core.wording import MONTHS, day_words, span_words

WIDTH = 1000.0
DEPTH = 0.75  # below 1, so that the shoulders of a forecast can be seen
EVEN = 0.45  # depth where only the ends of a window are known
FAINTEST = 0.02  # of the likeliest day; below it nothing is drawn
LETTER = 32.0  # of a label, in parts of the axis, on the narrowest one: 7.4 of 230 px
BETWEEN = 36.0  # what parts two labels there
OVER = 40.0  # how far a label may stand out of the axis
NEAR = 60  # days ahead from which today is drawn on the same axis as the window


@dataclass(frozen=True, slots=True)
class RibbonBin:
    """One day, or some that are alike: where it begins, how wide it is, how deep its colour."""

    x: float
    width: float
    opacity: float


@dataclass(frozen=True, slots=True)
class Tick:
    """A marked day of the axis; ``label`` is empty where it would run out of the axis."""

    x: float
    label: str

    @property
    def reach(self) -> tuple[float, float]:
        """Return from where to where the label stands, on the narrowest axis."""
        half = len(self.label) * LETTER / 2
        return self.x - half, self.x + half


@dataclass(frozen=True, slots=True)
class Ribbon:
    """A forecast ready to draw; every ``x`` runs from 0 at ``start`` to 1000 after ``end``."""

    start: date
    end: date
    bins: tuple[RibbonBin, ...]
    edge_from_x: float
    edge_to_x: float
    median_x: float | None
    today_x: float | None
    truth_x: float | None
    ticks: tuple[Tick, ...]
    sentence: str
    stage: str


@dataclass(frozen=True, slots=True)
class Scale:
    """Days along an axis; each day is a cell, both ends are included."""

    start: date
    end: date

    def __post_init__(self) -> None:
        if self.end < self.start:
            raise Problem(f"the axis ends on {self.end}, before it starts on {self.start}", "span")

    @property
    def cell(self) -> float:
        """Return the width of one day."""
        return WIDTH / ((self.end - self.start).days + 1)

    def left(self, day: date) -> float:
        """Return where the day's cell begins, held within the axis."""
        return min(WIDTH, max(0.0, (day - self.start).days * self.cell))

    def middle(self, day: date | None) -> float | None:
        """Return the middle of the day's cell, or None off the axis."""
        if day is None or not self.start <= day <= self.end:
            return None
        return ((day - self.start).days + 0.5) * self.cell

    def days(self) -> Iterator[date]:
        """Walk the axis day by day."""
        return (self.start + timedelta(days=i) for i in range((self.end - self.start).days + 1))

    def ticks(self) -> tuple[Tick, ...]:
        """Return the marked days: the densest marks whose labels stand clear of each other on a phone."""
        days = (self.marked(step) for step in (1, 2, 4, 7, 14) if self._apart(step, 5))
        months = (self.months(every) for every in (1, 2, 3, 6, 12, 24, 60, 120) if self._apart(31 * every, 3))
        return next((marks for marks in chain(days, months) if _clear(marks)), self.months(120))

    def _apart(self, days: int, letters: int) -> bool:
        """Tell whether marks so many days apart can hold labels of so many letters at all."""
        return days * self.cell >= letters * LETTER + BETWEEN or days > (self.end - self.start).days

    def marked(self, step: int) -> tuple[Tick, ...]:
        """Mark every so many days, whole weeks on Mondays."""
        first = self.start.toordinal() + (1 - self.start.toordinal()) % step
        found = range(first, self.end.toordinal() + 1, step)
        return self._marks((date.fromordinal(day) for day in found), _day_label)

    def months(self, every: int = 1) -> tuple[Tick, ...]:
        """Mark every so many months, on their first day."""
        first, last = (12 * day.year + day.month - 1 for day in (self.start, self.end))
        firsts = (date(n // 12, n % 12 + 1, 1) for n in range(first + -first % every, last + 1, every))
        return self._marks((day for day in firsts if day >= self.start), _month_label)

    def _marks(self, days: Iterable[date], said: Callable[[date], str]) -> tuple[Tick, ...]:
        places = (Tick(round(self.left(day) + self.cell / 2, 2), said(day)) for day in days)
        return tuple(tick if _within(tick) else replace(tick, label="") for tick in places)


def _within(tick: Tick) -> bool:
    left, right = tick.reach
    return left >= -OVER and right <= WIDTH + OVER


def _clear(marks: tuple[Tick, ...]) -> bool:
    """Tell whether there are labels, and each stands clear of the next."""
    said = [tick.reach for tick in marks if tick.label]
    return bool(said) and all(right + BETWEEN <= left for (_, right), (left, _) in pairwise(said))


def _day_label(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def _month_label(day: date) -> str:
    month = MONTHS[day.month - 1][:3]
    return f"{month} {day.year}" if day.month == 1 else month


def _span(window: Window, today: date, truth: date | None) -> Scale:
    """Room around the window, and today with it where today is near and the truth not known yet."""
    pad = timedelta(days=max(3, round(window.days * 0.6)))
    days = [window.start, window.end, *([truth] if truth else [])]
    if truth is None and (today - window.start).days >= -NEAR and (today - window.end).days <= NEAR:
        days.append(today)
    return Scale(min(days) - pad, max(days) + pad)


def _bins(scale: Scale, chance: Callable[[date], float]) -> tuple[RibbonBin, ...]:
    """Depth of colour by day, against the likeliest day on the axis."""
    chances = [(day, max(0.0, chance(day))) for day in scale.days()]
    top = max(p for _, p in chances)
    if top <= 0:
        return ()
    shown = ((day, round((p / top) ** DEPTH, 2)) for day, p in chances if p / top >= FAINTEST)
    return _joined(scale, shown)


def _joined(scale: Scale, depths: Iterable[tuple[date, float]]) -> tuple[RibbonBin, ...]:
    """Draw days of one depth that follow each other as one piece, without seams."""
    bins: list[RibbonBin] = []
    for day, depth in depths:
        left, right = scale.left(day), scale.left(day + timedelta(days=1))
        if bins and bins[-1].opacity == depth and abs(bins[-1].x + bins[-1].width - left) < 0.01:
            left = bins.pop().x
        bins.append(RibbonBin(round(left, 3), round(right - left, 3), depth))
    return tuple(bins)


def _cases(level: float) -> str:
    if round(level * 10, 6) == round(level * 10):
        return f"{round(level * 10)} of 10"
    return f"{round(level * 20)} of 20"


def window_sentence(window: Window, median: date | None, today: date, truth: date | None = None) -> str:
    """Say a window: ``most likely 12 June; 8–17 June in 8 of 10 cases like this``."""
    if window.level >= 1:
        return f"on {span_words(window.start, window.end, today)}"
    likely = f"most likely {day_words(median, today)}; " if median else ""
    said = f"{likely}{span_words(window.start, window.end, today)} in {_cases(window.level)} cases like this"
    return f"{said}; truly {day_words(truth, today)}" if truth else said


def _drawn(
    scale: Scale,
    bins: tuple[RibbonBin, ...],
    window: Window,
    median: date | None,
    today: date,
    truth: date | None,
    stage: str,
) -> Ribbon:
    return Ribbon(
        start=scale.start,
        end=scale.end,
        bins=bins,
        edge_from_x=round(scale.left(window.start), 3),
        edge_to_x=round(scale.left(window.end + timedelta(days=1)), 3),
        median_x=scale.middle(median),
        today_x=scale.middle(today),
        truth_x=scale.middle(truth),
        ticks=scale.ticks(),
        sentence=window_sentence(window, median, today, truth),
        stage=stage,
    )


def ribbon_from_cdf(
    cdf: Callable[[date], float],
    window_80: Window,
    median: date,
    today: date,
    truth: date | None = None,
    span: tuple[date, date] | None = None,
    stage: str = "drop",
) -> Ribbon:
    """Draw a forecast whose chance by day is known.

    Parameters
    ----------
    cdf : callable
        Probability that it has happened by the end of a day; need not reach 1.
    window_80 : Window
        The central window, bracketed.
    median : date
        The day by which half the cases have happened.
    today : date
        Where the keeper stands.
    truth : date, optional
        When it happened.
    span : tuple of date, optional
        First and last day of the axis; by default the window with room around it, and the truth,
        or today where today is within 60 days of it.
    stage : str
        Life stage that gives the colour.

    Raises
    ------
    Problem
        When the axis ends before it starts.
    """
    scale = Scale(*span) if span else _span(window_80, today, truth)
    bins = _bins(scale, lambda day: cdf(day) - cdf(day - timedelta(days=1)))
    return _drawn(scale, bins, window_80, median, today, truth, stage)


def ribbon_from_window(
    window: Window,
    today: date,
    median: date | None = None,
    truth: date | None = None,
    span: tuple[date, date] | None = None,
    stage: str = "drop",
) -> Ribbon:
    """Draw a window of which only the ends are known: one even, paler tone.

    Parameters are those of :func:`ribbon_from_cdf`; ``median`` only where one is known.
    """
    scale = Scale(*span) if span else _span(window, today, truth)
    left, right = (round(scale.left(day), 3) for day in (window.start, window.end + timedelta(days=1)))
    even = (RibbonBin(left, round(right - left, 3), EVEN),) if left < right else ()
    return _drawn(scale, even, window, median, today, truth, stage)
