"""What the water should be like by species, and what to do where it is not."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from app.core.method import Method

PRACTICE = "common practice, no source"
COMPILED = "handbooks and compilations"
JUDGED = "judgement, by its nearest kin"
FRESH_DAYS = 14
"""A reading older than that says nothing of today (judgement)."""

METHOD = Method(
    "targets",
    "What the water should be",
    (
        "Every kind has ranges of temperature, pH and hardness it was kept or found in.",
        "A tank's own range goes before its lines', a line's own before its species'.",
        "A tank with several lines is held to what suits them all; where nothing does, to the first one's.",
        "The last reading counts for two weeks, of a logger its last day; outside its range it is told once.",
    ),
    ("low ≤ last reading ≤ high, ends included; an end may be open",),
    (
        "ranges of each species: handbooks and compilations (D), or judgement by its nearest kin (E)",
        "KH, ammonia, nitrite and nitrate: common practice, no source (E)",
    ),
    "These are ranges fish were kept in, not the most they survive. A slow change matters more.",
)


@dataclass(frozen=True, slots=True)
class Range:
    """What a quantity should lie between, open where None, and where that comes from."""

    low: float | None
    high: float | None
    source: str = COMPILED
    grade: str = "D"

    def holds(self, value: float) -> bool:
        """Say whether a value lies within, ends included."""
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)


def _kind(low_c: float, high_c: float, ph: tuple[float, float], gh: tuple[float, float]) -> dict[str, Range]:
    return {"temperature": Range(low_c, high_c), "pH": Range(*ph), "GH": Range(*gh)}


def _guessed(kind: Mapping[str, Range]) -> dict[str, Range]:
    return {name: Range(one.low, one.high, JUDGED, "E") for name, one in kind.items()}


ALL: Mapping[str, Range] = MappingProxyType(
    {
        "KH": Range(3.0, None, PRACTICE, "E"),
        "total ammonia": Range(None, 0.2, PRACTICE, "E"),
        "nitrite": Range(None, 0.2, PRACTICE, "E"),
    }
)
"""For every kind of fish: no swing of pH, and a filter that works."""

GUPPY = _kind(18.0, 28.0, (7.0, 8.0), (9.0, 19.0))
PLATY = _kind(18.0, 26.0, (7.0, 8.0), (9.0, 19.0))
MOLLY = _kind(21.0, 28.0, (7.0, 8.5), (12.0, 30.0))
KINDS: Mapping[str, Mapping[str, Range]] = MappingProxyType(
    {
        "guppy": GUPPY,
        "endler": _guessed(_kind(18.0, 29.0, (7.0, 8.5), (9.0, 25.0))),
        "shortfin_molly": MOLLY,
        "sailfin_molly": _guessed(MOLLY),
        "southern_platy": PLATY,
        "variable_platy": _kind(15.0, 26.0, (7.0, 8.0), (9.0, 30.0)),
        "swordtail": _guessed(_kind(20.0, 28.0, (7.0, 8.0), (9.0, 19.0))),
        "mosquitofish": _kind(13.0, 31.0, (6.0, 8.0), (5.0, 19.0)),
        "least_killifish": _guessed(_kind(18.0, 30.0, (6.5, 8.0), (5.0, 20.0))),
        "redtail_goodeid": _kind(15.0, 30.0, (6.0, 8.0), (10.0, 20.0)),
        "butterfly_goodeid": _kind(18.0, 29.0, (7.0, 8.0), (10.0, 20.0)),
        "halfbeak": _guessed(_kind(22.0, 28.0, (6.5, 8.0), (5.0, 20.0))),
        "limia": _guessed(_kind(22.0, 28.0, (7.0, 8.5), (10.0, 25.0))),
    }
)
"""Water that each kind was kept or found in, not the most it survives."""

ADVICE: Mapping[tuple[str, bool], str] = MappingProxyType(
    {
        ("temperature", False): "Look at the heater and its plug; bring it up by no more than 2 °C a day",
        ("temperature", True): "Look at the heater, stir the surface for air; no cold water poured in",
        ("pH", False): "Test KH: where it is low, change some water, and again tomorrow",
        (
            "pH",
            True,
        ): "No acid from a bottle: change towards softer water slowly; ammonia harms more at high pH",
        ("GH", False): "Reckon a mineral dose at the water bench; raise it by no more than 3 °dH a day",
        ("GH", True): "Change towards softer water in small steps",
        ("KH", False): "Reckon a dose at the water bench; without KH the pH can fall within hours",
        ("KH", True): "Change towards softer water in small steps",
        ("total ammonia", True): "Stop feeding for a day, change a third of the water, test again tomorrow",
        ("nitrite", True): "Feed little, change a third of the water, test again tomorrow",
        ("salinity", False): "Reckon the dose at the water bench, and raise it in steps",
        ("salinity", True): "Change towards plain water in steps; a sudden change harms more",
    }
)


def usual(species: str) -> Mapping[str, Range]:
    """Return what the water of a species should be, by the quantity's name."""
    return {**KINDS.get(species, {}), **ALL}


def advice(quantity: str, *, high: bool) -> str:
    """Say what to do where a quantity is too high, or too low."""
    return ADVICE.get((quantity, high), "Test again, then change some water")
