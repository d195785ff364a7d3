"""Which species can cross, so that standing together counts as exposure."""

from datetime import date

from app.core.species import Species

# Hybrids within these groups are well documented in the literature on poeciliids (guppy × Endler's,
# the molly complex, platies × swordtails); from memory, no single source.
GROUPS = (
    frozenset({"guppy", "endler"}),
    frozenset({"shortfin_molly", "sailfin_molly"}),
    frozenset({"southern_platy", "variable_platy", "swordtail"}),
)


def can_cross(one: str, other: str) -> bool:
    """Say whether fish of the species ``one`` and ``other`` can have young together."""
    return one == other or any({one, other} <= group for group in GROUPS)


def fertile_age_days(species: Species) -> float:
    """Return the age from which males of ``species`` must be taken for fertile (the cautious bound)."""
    return species.split_by_days if species.split_by_days is not None else species.sexable_age_days


def mature(species: Species, born_on: date | None, today: date) -> bool:
    """Say whether a fish must be taken for fertile on ``today``; an unknown age counts as adult."""
    return born_on is None or (today - born_on).days >= fertile_age_days(species)
