"""What the numbers of a species mean in plain words, and which of them rest on the same source."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from app.core.species import Source, Species

WORDS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "interval_days": ("From drop to drop, at 25 °C", "days"),
        "interval_sd_strain": ("Spread between strains (SD)", "days"),
        "interval_sd_dam": ("Spread between dams (SD)", "days"),
        "interval_sd_within": ("Spread from one wait of a dam to her next (SD)", "days"),
        "first_brood_days": ("From the first males to the first drop", "days"),
        "first_brood_sd": ("Spread of the first wait (SD)", "days"),
        "storage_days": ("Stored sperm lasts up to", "days"),
        "storage_broods": ("Broods from stored sperm, at most", ""),
        "birth_tl_mm": ("Total length at birth", "mm"),
        "linf_f_mm": ("Females grow towards", "mm"),
        "k_f_per_day": ("How fast females grow towards it (k)", "a day"),
        "linf_m_mm": ("Males grow towards", "mm"),
        "k_m_per_day": ("How fast males grow towards it (k)", "a day"),
        "sexable_age_days": ("Half can be told male or female at", "days"),
        "sexable_sd": ("Spread of the age to be told (SD)", "days"),
        "split_by_days": ("The first males may be fertile from", "days"),
        "first_birth_age_days": ("Age of a dam at her first drop", "days"),
        "first_birth_sd": ("Spread of the age at the first drop (SD)", "days"),
        "brood_median": ("Fry in a usual brood", ""),
        "brood_p10": ("Fry in a small brood: 1 of 10 is smaller", ""),
        "brood_p90": ("Fry in a large brood: 1 of 10 is larger", ""),
        "first_brood_median": ("Fry in a usual first brood", ""),
        "sale_length_mm": ("Total length to rehome at", "mm"),
    }
)


@dataclass(frozen=True, slots=True)
class Told:
    """One source, and the numbers that rest on it: what each means, and how much."""

    source: Source
    numbers: tuple[tuple[str, str], ...]


def by_source(kind: Species) -> tuple[Told, ...]:
    """Return the numbers of a species by source, in the order of the table."""
    found: dict[Source, list[tuple[str, str]]] = {}
    for name, source in kind.sources.items():
        what, unit = WORDS[name]
        found.setdefault(source, []).append((what, f"{getattr(kind, name):g} {unit}".strip()))
    return tuple(Told(source, tuple(numbers)) for source, numbers in found.items())
