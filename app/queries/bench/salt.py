"""Salt by the gram: to a target, back to strength after a change, and what so much salt makes."""

from datetime import date

from app.core.cautions import Caution
from app.core.problems import Problem
from app.core.quantities import Units, show_mass, show_salinity, show_share, show_volume
from app.core.water.mixing import after_change
from app.core.water.salt import BANDS, SPOON_G, Band, Dose, dose_to, ledger, spoons
from app.core.water.salt_course import build_up
from app.core.wording import many
from app.queries.bench.answers import Answer, ChangeToLog, DoseToLog, Table, fig, litres_line

QUARTERS = ("", "¼", "½", "¾")
TSP_PER_TBSP = 3
MOST_SPOONS = 40
"""Beyond so many tablespoons nobody counts; the kitchen scale is quicker (judgement)."""

MOST_DAYS = 60
"""A course that builds up longer than that is a slip of the decimal point (judgement)."""

STRENGTHS = Table(
    "Strengths in use",
    ("Strength", "g/L", "How long", "Source"),
    tuple((b.name, f"{b.low_g_per_l:g}–{b.high_g_per_l:g}", b.words, b.source) for b in BANDS),
)
STRONG = Caution(
    "At this strength fish are at risk within hours, plants and shrimp sooner. Use a separate vessel, "
    "watch without a break, end it at the first sign of distress, and ask a vet.",
    "Strong salt",
    "harm",
)


def to_target(
    units: Units, litres: float, now: float, target: float, most_per_day: float | None, start: date
) -> Answer:
    """Reckon the salt that brings the water to a target, at once or in daily steps."""
    grams = dose_to(target, now, litres)
    if target < now:
        raise Problem(
            f"the water holds {show_salinity(now)} already; salt leaves only with a water change "
            "(see “Series of changes”)",
            "target",
        )
    if grams == 0:
        return Answer(f"Add nothing: the water holds {show_salinity(now)} already.")
    return Answer(
        f"Add {_grams(grams)} of salt to {show_volume(litres, units)}.",
        (_spoon_sentence(grams), *_strength(target)),
        (
            *litres_line(litres, units),
            f"m = (c_target − c)·V = ({fig(target)} − {fig(now)}) g/L × {fig(litres)} L = {fig(grams)} g",
            _spoon_line(grams),
        ),
        tables=_steps(litres, now, target, most_per_day, start),
        cautions=_strong(target),
        logs=(_salted(_first_day(litres, now, target, most_per_day, start)),),
    )


def top_up(
    units: Units, litres: float, before: float, fraction: float, source: float, target: float
) -> Answer:
    """Reckon the salt that a change took out of the whole tank."""
    after = after_change(before, source, fraction)
    grams = dose_to(target, after, litres)
    working = (
        *litres_line(litres, units),
        (
            f"c' = c·(1 − f) + c_src·f = {fig(before)} × (1 − {fig(fraction)}) + {fig(source)} "
            f"× {fig(fraction)} = {fig(after)} g/L"
        ),
        f"m = (c_target − c')·V = ({fig(target)} − {fig(after)}) g/L × {fig(litres)} L = {fig(grams)} g",
    )
    left = f"A change of {show_share(fraction)} leaves {show_salinity(after)}."
    if grams == 0:
        return Answer(
            f"Add nothing: {show_salinity(after)} is no less than the target.",
            (left,),
            working[:-1],
            logs=(ChangeToLog(fraction),),
        )
    return Answer(
        f"Add {_grams(grams)} of salt, dissolved in the new water.",
        (left, _spoon_sentence(grams), *_strength(target)),
        (*working, _spoon_line(grams)),
        cautions=(EVAPORATION, *_strong(target)),
        logs=(ChangeToLog(fraction), _salted(grams)),
    )


EVAPORATION = Caution(
    "Water that only evaporated took no salt with it: replace it with fresh water and add none.",
    "Not for evaporation",
    "note",
)


def strength(units: Units, litres: float, grams: float, now: float) -> Answer:
    """Reckon what so much salt makes of the water."""
    made = ledger(litres, [Dose(grams)], now)[-1]
    return Answer(
        f"The water then holds {show_salinity(made)}.",
        (f"{_grams(grams)} of salt raises it by {show_salinity(grams / litres)}.", *_strength(made)),
        (
            *litres_line(litres, units),
            f"c' = c + m/V = {fig(now)} + {fig(grams)} g / {fig(litres)} L = {fig(made)} g/L",
        ),
        cautions=_strong(made),
        logs=(_salted(grams),),
    )


def _salted(grams: float) -> DoseToLog:
    return DoseToLog(grams, "table salt", "NaCl")


def _first_day(litres: float, now: float, target: float, most_per_day: float | None, start: date) -> float:
    """Return what goes in today: all of it, or the first step."""
    if most_per_day is None:
        return dose_to(target, now, litres)
    return build_up(litres, now, target, most_per_day, start)[0].grams


def spoon_words(grams: float) -> str:
    """Return level US spoons of table salt, to the nearest quarter teaspoon."""
    quarters = round(spoons(grams) * TSP_PER_TBSP * 4)
    if quarters == 0:
        return "less than a quarter teaspoon"
    tablespoons, rest = divmod(quarters, TSP_PER_TBSP * 4)
    teaspoons = f"{rest // 4 or ''}{QUARTERS[rest % 4]}"
    parts = [f"{tablespoons} tbsp"] if tablespoons else []
    return " + ".join([*parts, f"{teaspoons} tsp"] if teaspoons else parts)


def _grams(grams: float) -> str:
    return show_mass(grams)


def _spoon_sentence(grams: float) -> str:
    if spoons(grams) > MOST_SPOONS:
        return "Weigh it: nobody counts so many spoons."
    return (
        f"By the spoon about {spoon_words(grams)} of table salt, level, US measure. "
        "Coarse salt is lighter by the spoon: weigh it."
    )


def _spoon_line(grams: float) -> str:
    return f"{fig(grams)} g / {SPOON_G:g} g a tablespoon = {fig(spoons(grams))} tbsp"


def _band(g_per_l: float) -> Band | None:
    return next((b for b in BANDS if b.low_g_per_l <= g_per_l <= b.high_g_per_l), None)


def _strength(g_per_l: float) -> tuple[str, ...]:
    band = _band(round(g_per_l, 2))
    if band is None:
        return (f"{show_salinity(g_per_l)} is none of the usual strengths listed below.",)
    return (f"{show_salinity(g_per_l)} is the “{band.name}” strength: {band.words} ({band.source}).",)


def _strong(g_per_l: float) -> tuple[Caution, ...]:
    return (STRONG,) if g_per_l > BANDS[2].high_g_per_l else ()


def _steps(litres: float, now: float, target: float, most: float | None, start: date) -> tuple[Table, ...]:
    if most is None:
        return ()
    if (target - now) / most > MOST_DAYS:
        raise Problem(f"that takes more than {MOST_DAYS} days; allow more a day", "most_per_day")
    steps = build_up(litres, now, target, most, start)
    rows = tuple(
        (f"Day {number}", _grams(step.grams), f"{fig(step.g_per_l)} g/L", spoon_words(step.grams))
        for number, step in enumerate(steps, 1)
    )
    return (Table(f"In {many(len(steps), 'daily dose')}", ("Day", "Add", "Makes", "By the spoon"), rows),)
