"""What a chart shows: its numbers for the drawing, and the same numbers as a table."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime

from app.core.wording import day_words

Values = tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Series:
    """One measured or reckoned row: ``kind`` is ``line``, ``dots`` or ``steps``."""

    label: str
    values: Values
    kind: str = "line"
    stage: str = "growing"


@dataclass(frozen=True, slots=True)
class Band:
    """The range between ``low`` and ``high``."""

    label: str
    low: Values
    high: Values
    stage: str = "growing"


@dataclass(frozen=True, slots=True)
class Chart:
    """One chart; axis labels carry their units, ``x`` holds days, hours or numbers in rising order.

    ``sentence`` says in words what the drawing shows; ``zero`` keeps nought on the y axis.
    """

    title: str
    sentence: str
    x_label: str
    y_label: str
    x: tuple[date, ...] | tuple[float, ...]
    series: tuple[Series, ...]
    bands: tuple[Band, ...] = ()
    places: int = 1
    zero: bool = True

    def drawing(self) -> dict[str, object]:
        """Return the plain values that the script on the page draws."""
        dates = any(isinstance(at, date) for at in self.x)
        return {
            "dates": dates,
            "hours": any(isinstance(at, datetime) for at in self.x),
            "x": [_seconds(at) for at in self.x],
            "x_label": self.x_label,
            "y_label": self.y_label,
            "zero": self.zero,
            "series": [asdict(one) for one in self.series],
            "bands": [asdict(one) for one in self.bands],
        }

    def head(self) -> list[str]:
        """Return the heads of the table."""
        return [self.x_label, *(s.label for s in self.series), *(b.label for b in self.bands)]

    def rows(self) -> list[list[str]]:
        """Return the table, one row for each ``x``."""
        said = [self._said(s.values) for s in self.series]
        ranges = [self._ranges(b) for b in self.bands]
        return [list(row) for row in zip((_words(at) for at in self.x), *said, *ranges, strict=True)]

    def _said(self, values: Iterable[float | None]) -> list[str]:
        return ["" if v is None else f"{v:.{self.places}f}" for v in values]

    def _ranges(self, band: Band) -> list[str]:
        pairs = zip(self._said(band.low), self._said(band.high), strict=True)
        return [f"{low}–{high}" if low and high else "" for low, high in pairs]


def _seconds(at: date | float) -> float:
    """Return days and local hours as seconds from 1970 in UTC, as the drawing counts them."""
    if isinstance(at, datetime):
        return at.replace(tzinfo=UTC).timestamp()
    if isinstance(at, date):
        return datetime(at.year, at.month, at.day, tzinfo=UTC).timestamp()
    return at


def _words(at: date | float) -> str:
    if isinstance(at, datetime):
        return f"{day_words(at.date())}, {at:%H:%M}"
    return day_words(at) if isinstance(at, date) else f"{at:g}"
