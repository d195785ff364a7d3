"""Who may have sired a brood, and with what chance, from who stood with the dam and when."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp

from app.core.method import Method
from app.core.problems import Problem

# Fresh sperm almost fully displaces stored sperm, and dead males sired up to about a quarter of
# the young (guppy; biology of sperm storage, seen in abstracts); the share and its decline: judgement.
STORED_BESIDE_FRESH = 0.1
EMBRYO_SHARE = 0.82  # of the interval between drops that the embryos take: about 18 of 22 d in Gambusia
SPREAD_DAYS = 3.0  # of the day of fertilisation; judgement
FADES = 3.0  # stored sperm is down to e^-3 at the end of its storage; judgement

METHOD = Method(
    "sires",
    "Possible sires",
    (
        "A brood is conceived about four fifths of an interval before its drop.",
        "Males with the dam then share it, about alike; stored sperm of earlier ones gets a tenth.",
        "With no male there, it is stored sperm, that of the later male the more likely.",
    ),
    (
        "conceived = drop − 0.82·interval ± 3 d",
        "stored sperm of age a counts exp(−3·a / storage), up to the storage limit",
    ),
    (
        "guppy paternity studies, seen in abstracts: fresh sperm almost fully displaces stored sperm",
        "shares and decline: judgement",
    ),
    "Only a genetic test can tell for certain.",
)


@dataclass(frozen=True, slots=True)
class Exposure:
    """A male that stood with the dam from a day to a day; ``end`` None while he still does.

    ``sire`` is None for males that nobody noted ("bought, has been with males").
    """

    sire: str | None
    start: date
    end: date | None = None


@dataclass(frozen=True, slots=True)
class Chance:
    """The chance that a fry of the brood is this male's; None is a male unknown."""

    sire: str | None
    chance: float


def conception_days(drop: date, interval_days: float) -> dict[date, float]:
    """Chance of each day to have been the day of fertilisation (normal, cut to whole days).

    Parameters
    ----------
    drop : date
        Of the brood.
    interval_days : float
        Between drops at the tank's temperature, above 0.

    Raises
    ------
    Problem
        If the interval is not above zero.
    """
    if not interval_days > 0:
        raise Problem(f"{interval_days:g} d cannot be an interval; give more than 0", "interval_days")
    middle = drop - timedelta(days=round(EMBRYO_SHARE * interval_days))
    reach = int(3 * SPREAD_DAYS)
    weights = {
        middle + timedelta(days=by): exp(-0.5 * (by / SPREAD_DAYS) ** 2) for by in range(-reach, reach + 1)
    }
    total = sum(weights.values())
    return {day: weight / total for day, weight in weights.items()}


def possible_sires(
    exposures: Iterable[Exposure], conceived: Mapping[date, float], storage_days: float
) -> tuple[Chance, ...]:
    """Chance of each male to be the sire of a fry, the likeliest first.

    On each possible day the males present share the brood alike, less a tenth for stored sperm
    where there is any; without a male present stored sperm has it all, by its age. What no male
    can have sired goes to the unknown male.

    Parameters
    ----------
    exposures : Iterable[Exposure]
        Who stood with her, any number of spells each.
    conceived : Mapping[date, float]
        Chance of each day, from :func:`conception_days`.
    storage_days : float
        How long the species stores sperm; 0 where it stores none.

    Raises
    ------
    Problem
        If a spell ends before it starts, or storage is below zero.
    """
    spells = list(exposures)
    _check(spells, storage_days)
    chances: dict[str | None, float] = {}
    for day, weight in conceived.items():
        shares = _shares(spells, day, storage_days) or {None: 1.0}
        for sire, share in shares.items():
            chances[sire] = chances.get(sire, 0.0) + weight * share
    ranked = sorted(chances.items(), key=lambda pair: (-pair[1], pair[0] or ""))
    return tuple(Chance(sire, chance) for sire, chance in ranked)


def _shares(spells: Sequence[Exposure], day: date, storage_days: float) -> dict[str | None, float]:
    fresh = {spell.sire for spell in spells if spell.start <= day and (spell.end is None or day <= spell.end)}
    stored = _stored(spells, day, storage_days, fresh)
    if not fresh:
        return stored
    for_stored = STORED_BESIDE_FRESH if stored else 0.0
    shares = {sire: (1.0 - for_stored) / len(fresh) for sire in fresh}
    return shares | {sire: for_stored * share for sire, share in stored.items()}


def _stored(
    spells: Sequence[Exposure], day: date, storage_days: float, fresh: set[str | None]
) -> dict[str | None, float]:
    weights: dict[str | None, float] = {}
    for spell in spells:
        age = (day - spell.end).days if spell.end is not None and spell.end < day else None
        if age is None or age > storage_days or spell.sire in fresh:
            continue
        weight = exp(-FADES * age / storage_days)
        weights[spell.sire] = max(weight, weights.get(spell.sire, 0.0))
    total = sum(weights.values())
    return {sire: weight / total for sire, weight in weights.items()}


def _check(spells: Sequence[Exposure], storage_days: float) -> None:
    if not storage_days >= 0:
        raise Problem(f"{storage_days:g} d cannot be; give 0 or more", "storage_days")
    for spell in spells:
        if spell.end is not None and spell.end < spell.start:
            raise Problem(
                f"{spell.sire or 'a male'} was taken out on {spell.end}, before he came on {spell.start};"
                " correct one of the dates",
                "exposures",
            )
