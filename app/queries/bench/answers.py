"""What every calculator of the water bench answers, and how it writes its figures."""

from dataclasses import dataclass

from app.core.cautions import Caution
from app.core.quantities import Units
from app.core.quantities.showing import trimmed


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of figures; the columns from the second on are numbers."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    @property
    def numeric(self) -> tuple[int, ...]:
        """Which columns hold numbers."""
        return tuple(range(1, len(self.columns)))


@dataclass(frozen=True, slots=True)
class Facts:
    """Pairs of a word and its figure."""

    caption: str
    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class DoseToLog:
    """Grams that an answer asks for, of a formula or of a product by what a gram does to a litre's GH."""

    grams: float
    name: str
    formula: str = ""
    gh_per_gram: float | None = None


@dataclass(frozen=True, slots=True)
class ChangeToLog:
    """A share of the water that an answer asks to change."""

    fraction: float


@dataclass(frozen=True, slots=True)
class BlendToLog:
    """Two waters, by GH and KH in °dH where known, and the second one's share of what is poured."""

    first: tuple[float | None, float | None]
    second: tuple[float | None, float | None]
    share: float


ToLog = DoseToLog | ChangeToLog | BlendToLog


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer in one sentence, what else to know, the working, what to mind, and what to log."""

    words: str
    more: tuple[str, ...] = ()
    working: tuple[str, ...] = ()
    facts: tuple[Facts, ...] = ()
    tables: tuple[Table, ...] = ()
    cautions: tuple[Caution, ...] = ()
    logs: tuple[ToLog, ...] = ()


def fig(number: float) -> str:
    """Return four figures, so that the working can be followed with a pencil."""
    size = abs(number)
    if size >= 1000:
        return f"{number:,.0f}"
    decimals = 1 if size >= 100 else 2 if size >= 10 else 3 if size >= 1 else 4
    return trimmed(number, decimals) if size >= 0.0005 or size == 0 else f"{number:.1g}"


def litres_line(litres: float, units: Units) -> tuple[str, ...]:
    """Return the line that turns the keeper's gallons into litres; nothing for a metric keeper."""
    if units is Units.METRIC:
        return ()
    gallon, name = (3.785412, "US gal") if units is Units.US else (4.54609, "imp gal")
    return (f"V = {fig(litres / gallon)} {name} × {gallon:g} = {fig(litres)} L",)


def one_of(first: object, second: object) -> bool:
    """Say whether exactly one of the two was given."""
    return (first is None) != (second is None)
