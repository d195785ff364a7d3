"""The species table: what is known of each kind of fish, with a source and a grade per number."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from enum import StrEnum
from pathlib import Path
from types import MappingProxyType

from app.core.problems import Problem

TABLE = Path(__file__).with_name("species_table.csv")
SOURCES = Path(__file__).with_name("species_sources.csv")

GRADES: Mapping[str, str] = MappingProxyType(
    {
        "A": "individual laboratory records",
        "B": "journal paper",
        "C": "handbook or reference site",
        "D": "compilation",
        "E": "judgement or common practice",
    }
)


class Reproduction(StrEnum):
    """How broods follow on one another."""

    STORES_SPERM = "stores sperm"
    NO_STORAGE = "no storage"
    OVERLAPPING = "overlapping broods"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number comes from: words to show, and a grade from A (records) to E (judgement)."""

    words: str
    grade: str


@dataclass(frozen=True, slots=True)
class Species:
    """One row of the table; days at 25 °C, lengths in mm total length, None where nothing is known.

    ``sources`` names the source and grade of each number by its attribute's name.
    """

    key: str
    common_name: str
    scientific_name: str
    reproduction: Reproduction
    confidence: str
    interval_days: float
    interval_sd_strain: float | None
    interval_sd_dam: float | None
    interval_sd_within: float
    first_brood_days: float
    first_brood_sd: float
    storage_days: float
    storage_broods: float | None
    birth_tl_mm: float
    linf_f_mm: float
    k_f_per_day: float
    linf_m_mm: float
    k_m_per_day: float
    sexable_age_days: float
    sexable_sd: float
    split_by_days: float | None
    first_birth_age_days: float
    first_birth_sd: float
    brood_median: float
    brood_p10: float
    brood_p90: float
    first_brood_median: float | None
    sale_length_mm: float
    sources: Mapping[str, Source] = field(repr=False)

    @property
    def stores_sperm(self) -> bool:
        """Say whether a brood can follow without a male in between."""
        return self.reproduction is not Reproduction.NO_STORAGE


@dataclass(frozen=True, slots=True)
class Overrides:
    """A keeper's own numbers for a line; None keeps the table's."""

    interval_days: float | None = None
    sale_length_mm: float | None = None
    sexable_age_days: float | None = None


_WORDS = ("key", "common_name", "scientific_name", "reproduction", "confidence")
_NUMBERS = tuple(f.name for f in fields(Species) if f.name not in {*_WORDS, "sources"})
_OPTIONAL = frozenset(f.name for f in fields(Species) if f.type == float | None)
_UNITS = {"interval_days": "days", "sale_length_mm": "mm", "sexable_age_days": "days"}


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def _cell(row: Mapping[str, str], name: str, words: Mapping[str, str]) -> tuple[float | None, Source | None]:
    """Read a cell of the form ``26 A reznick``: number, grade, source."""
    if not row[name] and name in _OPTIONAL:
        return None, None
    number, grade, source = row[name].split()
    if grade not in GRADES:
        raise ValueError(f"{row['key']} {name}: grade {grade} is none of {', '.join(GRADES)}")
    return float(number), Source(words[source], grade)


def _species(row: Mapping[str, str], words: Mapping[str, str]) -> Species:
    cells = {name: _cell(row, name, words) for name in _NUMBERS}
    return Species(
        key=row["key"],
        common_name=row["common_name"],
        scientific_name=row["scientific_name"],
        reproduction=Reproduction(row["reproduction"]),
        confidence=row["confidence"],
        sources=MappingProxyType({name: source for name, (_, source) in cells.items() if source}),
        **{name: number for name, (number, _) in cells.items()},  # type: ignore[arg-type]
    )


def _table() -> Mapping[str, Species]:
    words = {row["key"]: row["words"] for row in _read(SOURCES)}
    return MappingProxyType({row["key"]: _species(row, words) for row in _read(TABLE)})


SPECIES: Mapping[str, Species] = _table()


def species(key: str) -> Species:
    """Return the species of that key.

    Raises
    ------
    Problem
        When no row has that key; the message lists the keys.
    """
    if key not in SPECIES:
        raise Problem(f"no species {key!r}; give one of {', '.join(SPECIES)}", "species")
    return SPECIES[key]


# how far from the table's number a keeper's own may lie, as factors
_FACTORS = {"interval_days": (0.5, 2.0), "sale_length_mm": (0.3, 3.0), "sexable_age_days": (0.4, 4.0)}


def overridden(of: Species, by: Overrides) -> Species:
    """Return the species with a keeper's own numbers in place.

    Parameters
    ----------
    of : Species
        The table's row.
    by : Overrides
        Interval in days at 25 °C, sale length in mm, sexing age in days.

    Raises
    ------
    Problem
        When a number lies outside a generous range about the table's.
    """
    own = {name: value for name in _FACTORS if (value := getattr(by, name)) is not None}
    for name, value in own.items():
        base = getattr(of, name)
        low, high = (round(base * factor, 1) for factor in _FACTORS[name])
        if not low <= value <= high:
            raise Problem(
                f"{value:g} {_UNITS[name]} is not likely for {of.common_name} ({base:g} is usual); "
                f"give {low:g} to {high:g}",
                name,
            )
    named = {name: Source("the keeper's own setting for this line", "E") for name in own}
    return replace(of, **own, sources=MappingProxyType({**of.sources, **named}))
