"""What the growth forecast says beside its numbers: notes, confidence and the reasons why."""

from typing import TYPE_CHECKING

import numpy as np

from app.core.growth.curves import Model
from app.core.growth.evidence import GrowthEvidence, TidyChecks
from app.core.thermal import BREEDING_C
from app.core.why import Used, Why
from app.core.wording import day_words, in_ten, listed, many

if TYPE_CHECKING:
    from app.core.growth.posterior import Posterior

LEAST_CHECKS, MANY_CHECKS = 3, 5
FAR_OFF = 0.25  # log of the length ratio; standard length taken for total is 0.21
SCALE = ("low", "medium-low", "medium", "high")

STUNTED = (
    "Food and water quality are the usual reasons. Guppies held back by food shortage until 20 months "
    "of age still caught up most of the way when fed again, so stunting is largely reversible."
)


def confidence(evidence: GrowthEvidence, known: TidyChecks) -> str:
    """Say how far to trust the forecast: as far as the published rows, or the batch's own checks."""
    count = len(known.checks)
    own = "high" if count >= MANY_CHECKS else "medium" if count >= LEAST_CHECKS else "low"
    return max(own, evidence.species.confidence, key=SCALE.index)


def notes(
    evidence: GrowthEvidence,
    known: TidyChecks,
    fitted: "Posterior",
    standing: str | None,
    out_of_reach: tuple[float, ...],
) -> tuple[str, ...]:
    """Sentences a keeper should read beside the curve."""
    return (
        *known.notes,
        *_thin(evidence, known),
        *_single(known),
        *_shrunk(known),
        *_odd(known, fitted),
        *((STUNTED,) if standing == "behind" else ()),
        *_curve(fitted),
        *_water(evidence),
        *(f"The batch may never average {mm:g} mm." for mm in out_of_reach),
    )


def standing_words(standing: str | None, percentile: float | None) -> str:
    """Say behind, on course or ahead, with how many batches like this one would be shorter or longer.

    The share is of batches of the same species, line and water at the same age.
    """
    if standing is None or percentile is None:
        return "Not measured yet, so nothing can be said of its growth."
    shorter = percentile / 100
    if standing == "behind":
        return f"Behind: {_most(1 - shorter)} batches like this one are longer by now."
    if standing == "ahead":
        return f"Ahead: {_most(shorter)} batches like this one are shorter by now."
    tenths = round(10 * shorter)
    return f"On course: {tenths} in 10 batches like this one are shorter by now, {10 - tenths} are longer."


def _most(share: float) -> str:
    return "nearly all" if share >= 0.95 else in_ten(share)


def _thin(evidence: GrowthEvidence, known: TidyChecks) -> tuple[str, ...]:
    count, name = len(known.checks), evidence.species.common_name
    if count >= LEAST_CHECKS:
        return ()
    if not count:
        return (f"No length checks yet: this is the usual {name}'s curve.",)
    said = "One check" if count == 1 else "Two checks"
    return (f"{said} can't carry a curve: this is the usual {name}'s curve, moved towards them.",)


def _single(known: TidyChecks) -> tuple[str, ...]:
    days = [day_words(check.day) for check in known.checks if check.n == 1]
    if not days:
        return ()
    return (f"One fish ({listed(days)}) says little of its batch; ten would tell it three times as closely.",)


def _shrunk(known: TidyChecks) -> tuple[str, ...]:
    for early, late in zip(known.checks, known.checks[1:], strict=False):
        if late.mean_mm < 0.95 * early.mean_mm:
            before, after = day_words(early.day), day_words(late.day)
            return (
                (
                    f"The fish of {after} measured shorter than those of {before}. Fish don't shrink: "
                    "the larger ones may have left, or a check was of other fish or in another unit."
                ),
            )
    return ()


def _odd(known: TidyChecks, fitted: "Posterior") -> tuple[str, ...]:
    if not known.checks:
        return ()
    days = np.array([(c.day - fitted.clock.born).days for c in known.checks], dtype=float)
    curve = np.interp(days, fitted.days, fitted.weights @ fitted.table)
    for check, length in zip(known.checks, curve, strict=True):
        if abs(np.log(check.mean_mm / length)) > FAR_OFF:
            day = day_words(check.day)
            return (
                (
                    f"The check of {day} ({check.mean_mm:.3g} mm) lies far from the fitted curve "
                    f"({length:.3g} mm there). Look at its date, unit and whether it is total length."
                ),
            )
    return ()


def _curve(fitted: "Posterior") -> tuple[str, ...]:
    if fitted.model is Model.GOMPERTZ:
        return ("The checks bend like a Gompertz curve (slow, fast, slow), so that one is used.",)
    return ()


def _water(evidence: GrowthEvidence) -> tuple[str, ...]:
    if evidence.temperature is None:
        return ("No temperature given: 25 °C is assumed.",)
    low, high = BREEDING_C
    today = evidence.temperature.at(evidence.today)
    if low <= today <= high:
        return ()
    return (f"At {today:g} °C growth is guessed: the published values run from 20 to 30 °C.",)


def why(evidence: GrowthEvidence, known: TidyChecks, fitted: "Posterior") -> Why:
    """Set out the evidence with its weights."""
    species = evidence.species
    checks = tuple(
        Used(f"length check of {day_words(c.day)}, {c.n} fish", f"mean {c.mean_mm:.3g} mm", weight)
        for c, weight in zip(known.checks, fitted.shares, strict=True)
    )
    earlier = many(len(evidence.kin), "earlier batch of the line", "earlier batches of the line")
    kin = (Used(earlier, "each by its own fitted curve"),) if evidence.kin else ()
    row = species.sources.get("linf_f_mm")
    return Why(
        method="growth",
        used=(*checks, *kin),
        prior=(
            f"{species.common_name}: {species.birth_tl_mm:g} mm at birth, females to about "
            f"{species.linf_f_mm:g} mm, males to about {species.linf_m_mm:g} mm"
        ),
        source=row.words if row else "",
        confidence=confidence(evidence, known),
        narrower=_narrower(evidence, known),
    )


def _narrower(evidence: GrowthEvidence, known: TidyChecks) -> tuple[str, ...]:
    wanted = []
    if len(known.checks) < LEAST_CHECKS:
        wanted.append("length checks of ten fish on three days, two or more weeks apart")
    elif min(c.n for c in known.checks) < 5:
        wanted.append("more fish in each length check")
    if evidence.temperature is None:
        wanted.append("the tank's temperature")
    if evidence.sex is None:
        wanted.append("the sexes apart")
    return tuple(wanted)
