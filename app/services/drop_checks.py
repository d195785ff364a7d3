"""What makes a drop impossible: whose, when and how many."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.core.crossing import mature
from app.core.species import Reproduction, Species
from app.core.wording import day_words, many, span_words
from app.services.refusals import Refused
from app.services.stays import not_ahead
from app.store.actor import Actor
from app.store.broods import Brood
from app.store.fish import Fish, Sex

SOONEST = 0.5
"""The part of the usual interval below which a second drop is asked about; in the published guppy
records 0.3 % of intervals are below 0.7 of the dam's own median (Reznick et al. 2004, derived)."""
MOST = 5
"""How many times a big brood of the species is taken for a slip of the finger (judgement)."""
ALWAYS_BELIEVED = 60
"""So many fry are believed of any species."""


@dataclass(frozen=True, slots=True)
class Drop:
    """A drop as it was told: from when to when, and how many."""

    dropped_from: date
    dropped_to: date
    live: int
    dead: int
    early: int


def check_drop(
    actor: Actor, dam: Fish, species: Species, drop: Drop, others: Sequence[Brood], *, sooner: bool
) -> None:
    """Refuse a drop that cannot have been; ``others`` are the dam's other broods."""
    check_dam(dam)
    _check_days(actor, drop)
    _check_life(actor, dam, species, drop)
    _check_numbers(species, drop)
    _check_others(actor, species, drop, others, sooner=sooner)


def check_dam(dam: Fish) -> None:
    """Refuse a fish that is no dam."""
    if dam.sex is Sex.MALE:
        raise Refused(f"{dam.code} is a male. Choose the dam, or correct the sex of {dam.code}.", "dam")
    if dam.sex is Sex.UNKNOWN:
        raise Refused(f"{dam.code} is not sexed yet. If she dropped, log her as female first.", "dam")


def _check_days(actor: Actor, drop: Drop) -> None:
    if drop.dropped_to < drop.dropped_from:
        raise Refused(
            f"From {day_words(drop.dropped_from, actor.today)} to {day_words(drop.dropped_to, actor.today)} "
            "runs backwards. Give the earlier day first.",
            "dropped_to",
        )
    not_ahead(actor, drop.dropped_from, "dropped_from")
    not_ahead(actor, drop.dropped_to, "dropped_to")


def _check_life(actor: Actor, dam: Fish, species: Species, drop: Drop) -> None:
    today = actor.today
    if dam.born_on is not None and drop.dropped_from < dam.born_on:
        raise Refused(
            f"{dam.code} was born on {day_words(dam.born_on, today)}. Give a later day, or correct her "
            "birth date.",
            "dropped_from",
        )
    if drop.dropped_from < dam.arrived_on:
        raise Refused(
            f"{dam.code} came on {day_words(dam.arrived_on, today)}. Give that day or later; a drop before "
            "she came belongs in her note.",
            "dropped_from",
        )
    if dam.left_on is not None and drop.dropped_to > dam.left_on:
        raise Refused(
            f"{dam.code} left on {day_words(dam.left_on, today)}. Give that day or earlier.", "dropped_to"
        )
    if dam.born_on is not None and not mature(species, dam.born_on, drop.dropped_to):
        age = many((drop.dropped_to - dam.born_on).days, "day")
        raise Refused(
            f"{dam.code} was {age} old then, too young to drop. "
            "Look at the day and the dam again, or correct her birth date.",
            "dropped_from",
        )


def _check_numbers(species: Species, drop: Drop) -> None:
    most = max(ALWAYS_BELIEVED, round(MOST * species.brood_p90))
    for field in ("live", "dead", "early"):
        number = getattr(drop, field)
        if number < 0:
            raise Refused(f"{number} is less than none. Give 0 or more.", field)
        if number > most:
            raise Refused(
                f"{number} is more than a {species.common_name} drops ({species.brood_p10:g} to "
                f"{species.brood_p90:g} is usual). Give {most} or fewer.",
                field,
            )
    if not drop.live and not drop.dead and not drop.early:
        raise Refused(
            "A drop of no fry at all? Give the number seen, dead ones too. If all were eaten unseen, "
            "answer “drop missed or eaten” on the dam’s page.",
            "live",
        )


def _check_others(
    actor: Actor, species: Species, drop: Drop, others: Sequence[Brood], *, sooner: bool
) -> None:
    for other in others:
        when = span_words(other.dropped_from, other.dropped_to, actor.today)
        if other.dropped_from <= drop.dropped_to and drop.dropped_from <= other.dropped_to:
            raise Refused(
                f"There is a drop on {when} already ({other.code}). Correct that one, or give other days.",
                "dropped_from",
            )
        days = _apart(drop, other)
        if species.reproduction is Reproduction.OVERLAPPING or sooner:
            continue
        if days < SOONEST * species.interval_days:
            raise Refused(
                f"Only {many(days, 'day')} from her drop on {when} ({other.code}); "
                f"{species.interval_days:g} days is usual. If it was a second drop and not the same fry, "
                "say so below.",
                "sooner",
            )


def _apart(drop: Drop, other: Brood) -> int:
    if other.dropped_to < drop.dropped_from:
        return (drop.dropped_from - other.dropped_to).days
    return (other.dropped_from - drop.dropped_to).days
