"""Why a birth forecast says what it says: evidence, weights, prior, and what would narrow it."""

from app.core.births.evidence import Arrived, BirthEvidence, LastDrop, starts
from app.core.births.learning import Learned
from app.core.births.method import METHOD
from app.core.species import Reproduction
from app.core.thermal import SURE_C
from app.core.why import Used, Why
from app.core.wording import day_words, many, span_words

_SCALE = ("low", "medium-low", "medium", "high")


def confidence(told: BirthEvidence) -> str:
    """Return how far to trust the forecast: the table's grade, lifted by her own record.

    Three own intervals make it at least medium, six make it high; a tank below 20 or above 30 °C
    makes it low, since the temperature law is extrapolated there.
    """
    if not SURE_C[0] <= told.usual_c <= SURE_C[1]:
        return "low"
    own = 3 if len(told.history) >= 6 else 2 if len(told.history) >= 3 else 0
    return _SCALE[max(own, _SCALE.index(told.species.confidence))]


def why(told: BirthEvidence, learned: Learned) -> Why:
    """Return the structured reasons."""
    sp = told.species
    name = "interval_days" if isinstance(told.start, LastDrop) else "first_brood_days"
    source = sp.sources[name]
    return Why(
        method=METHOD.key,
        used=(*_intervals(told, learned), *_circumstances(told)),
        prior=_prior(told),
        source=f"{source.words} (grade {source.grade})",
        confidence=confidence(told),
        narrower=_narrower(told),
    )


def _prior(told: BirthEvidence) -> str:
    sp = told.species
    if told.virgin and sp.reproduction is not Reproduction.NO_STORAGE:
        return (
            f"first drop {sp.first_brood_days:g} ± {sp.first_brood_sd:g} days after first exposure at 25 °C"
        )
    return f"{sp.interval_days:g} days between drops at 25 °C"


def _intervals(told: BirthEvidence, learned: Learned) -> list[Used]:
    rows = []
    if told.history:
        last = ", ".join(f"{i.middle:g}" for i in told.history[-3:])
        rows.append(Used("her own intervals", f"{len(told.history)}; latest {last} days", learned.weight_own))
    if told.kin_history:
        rows.append(Used("other dams of her line", many(len(told.kin_history), "dam"), learned.weight_line))
    if told.fishroom_history:
        value = many(len(told.fishroom_history), "line")
        rows.append(Used("other lines of this fishroom", value, learned.weight_fishroom))
    rest = 1 - learned.weight_own - learned.weight_line - learned.weight_fishroom
    rows.append(Used("what is known of the species", told.species.common_name, rest))
    return rows


def _circumstances(told: BirthEvidence) -> list[Used]:
    day, name = starts(told.start)
    begun = {"last_drop": "last drop", "exposed_from": "exposed to males from", "arrived": "arrived"}[name]
    latest = told.start.latest if isinstance(told.start, LastDrop) else day
    warm = f"{told.usual_c:.1f} °C" if told.temperature else "not measured; 25 °C assumed"
    return [
        Used(begun, span_words(day, latest, told.today)),
        Used("tank temperature", warm),
        Used("no drop seen before", day_words(told.today, told.today)),
    ]


def _narrower(told: BirthEvidence) -> tuple[str, ...]:
    wishes = []
    if told.temperature is None:
        wishes.append("log the tank's temperature")
    if len(told.history) < 3:
        wishes.append("log this dam's drops: three intervals count for more than the species")
    if not told.kin_history:
        wishes.append("log the drops of her sisters")
    if isinstance(told.start, LastDrop) and told.start.latest > told.start.earliest:
        wishes.append("look for fry daily, so that the drop has one date")
    if isinstance(told.start, Arrived) and told.start.with_males is None:
        wishes.append("ask whether she has been with males")
    return tuple(wishes)
