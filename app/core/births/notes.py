"""What a keeper should be told beside the dates of a birth forecast."""

from app.core.births.evidence import Arrived, BirthEvidence, Exposed, LastDrop
from app.core.births.later import Later, males_left
from app.core.births.learning import Learned
from app.core.species import Reproduction
from app.core.thermal import BREEDING_C, SURE_C
from app.core.wording import carrying_words, day_words, in_ten


def notes(told: BirthEvidence, learned: Learned, p: float, overdue: bool, later: Later) -> tuple[str, ...]:
    """Return the notes, most urgent first."""
    found = (
        _impossible(told, p),
        _late(p, overdue),
        _unlikely(p, overdue),
        _too_cold_or_warm(told),
        _extrapolated(told),
        _thin(told),
        _missed(learned),
        _phase(told),
        _stored(told, later),
        _overlapping(told),
    )
    return tuple(note for note in found if note)


def _impossible(told: BirthEvidence, p: float) -> str | None:
    if p > 0:
        return None
    if told.virgin and not isinstance(told.start, Exposed):
        return "she is a virgin and has not been with males: no drop can follow"
    if told.species.stores_sperm:
        return "no carrying lasts as long as this: she is not carrying, or drops were missed"
    return (
        f"the {told.species.common_name} stores no sperm and no male has been with her since: "
        "no drop can follow until one joins her"
    )


def _late(p: float, overdue: bool) -> str | None:
    if not overdue or p == 0:
        return None
    return (
        f"nothing so far: {carrying_words(p)}, {in_ten(p)}. "
        "Is she not carrying, was the drop missed or eaten, or will you wait?"
    )


def _unlikely(p: float, overdue: bool) -> str | None:
    if overdue or p == 0 or p >= 0.5:
        return None
    return f"more likely than not she is not carrying ({in_ten(p)} that she is); the dates hold if she is"


def _too_cold_or_warm(told: BirthEvidence) -> str | None:
    if told.usual_c < BREEDING_C[0]:
        return f"at {told.usual_c:.1f} °C breeding may stop; no date is given below 18 °C"
    if told.usual_c > BREEDING_C[1]:
        return f"at {told.usual_c:.1f} °C breeding may stop; no date is given above 31 °C"
    return None


def _extrapolated(told: BirthEvidence) -> str | None:
    between = BREEDING_C[0] <= told.usual_c < SURE_C[0] or SURE_C[1] < told.usual_c <= BREEDING_C[1]
    if not between:
        return None
    return (
        f"at {told.usual_c:.1f} °C the dates are extrapolated: below 20 and above 30 °C little was measured"
    )


def _thin(told: BirthEvidence) -> str | None:
    if told.species.confidence not in {"low", "medium-low"} or len(told.history) >= 3:
        return None
    return (
        f"the {told.species.common_name}'s interval rests on thin published data; "
        "her own drops will soon count more"
    )


def _missed(learned: Learned) -> str | None:
    if not learned.missed:
        return None
    return (
        f"{learned.missed} of her intervals took more than one cycle: a skipped brood, "
        "or a drop missed or eaten"
    )


def _phase(told: BirthEvidence) -> str | None:
    if isinstance(told.start, Arrived) and not told.virgin:
        return "where she stood in her cycle when bought is unknown, so the window is wide"
    if isinstance(told.start, Exposed) and not told.virgin and told.species.stores_sperm:
        return "she is not known to be a virgin, so she may have carried already when the males came"
    return None


def _stored(told: BirthEvidence, later: Later) -> str | None:
    left = males_left(told)
    if left is None or not later.chances:
        return None
    since = day_words(left, told.today)
    alone = "without a male" if isinstance(told.start, Arrived) else f"no male since {since}"
    first, last = in_ten(later.chances[0]), in_ten(later.chances[-1])
    falls = f"falls from {first} to {last}" if first != last else f"is {first}"
    return f"{alone}: stored sperm runs out; the chance of the drops after the next {falls}"


def _overlapping(told: BirthEvidence) -> str | None:
    if told.species.reproduction is not Reproduction.OVERLAPPING:
        return None
    if isinstance(told.start, LastDrop):
        return (
            "broods overlap: a few fry every few days, so a rate is given; "
            "nothing for two to three weeks is a sign"
        )
    days = told.species.first_brood_days
    return f"broods overlap; the first fry come about {days:g} days after first exposure at 25 °C"
