"""Day by day from the water that fish were raised in to the water they will live in."""

from datetime import date

from app.core.cautions import Caution
from app.core.problems import Problem
from app.core.quantities import Units, show_hardness, show_salinity, show_share, show_temperature
from app.core.water.acclimation import FIELDS, Limits, Step, WaterState, plan
from app.core.wording import many, weekday_words
from app.queries.bench.answers import Answer, Table, fig

NAMES = {"salinity_g_per_l": "salinity", "gh_dh": "GH", "temperature_c": "temperature"}
UNKNOWN_SALT = Caution(
    "Where the salinity they were raised in is not known: farmed livebearers have often stood in brackish "
    "water. Ask, or begin slightly salted.",
    "Farmed stock",
    "note",
)
WATCH = Caution(
    "A fish that lies down, gasps or clamps its fins needs the last step undone and a slower plan. Keep the "
    "ammonia of the bag in mind: its pH rises when it is opened.",
    "Watch them",
)


def steps(units: Units, origin: WaterState, tank: WaterState, limits: Limits, start: date) -> Answer:
    """Plan the steps, one a day."""
    if not any(_known(origin, tank, name) for name in FIELDS):
        raise Problem("give at least one of salinity, GH and temperature for both waters", "from_salinity")
    planned = plan(origin, tank, limits, start)
    cautions = (WATCH, *((UNKNOWN_SALT,) if origin.salinity_g_per_l is None else ()))
    if not planned:
        return Answer("No steps: in what is known the two waters are alike.", cautions=cautions)
    last = weekday_words(planned[-1].day, start)
    return Answer(
        f"{many(len(planned), 'step')}, one a day; into the tank on {last}.",
        (
            _slowest(origin, tank, limits, len(planned)),
            "Each step replaces part of their water with water from the tank.",
        ),
        _working(origin, tank, limits, len(planned)),
        tables=(_table(units, planned, start),),
        cautions=cautions,
    )


def _known(origin: WaterState, tank: WaterState, name: str) -> bool:
    return getattr(origin, name) is not None and getattr(tank, name) is not None


def _days(origin: WaterState, tank: WaterState, limits: Limits, name: str) -> float:
    if not _known(origin, tank, name):
        return 0.0
    return float(abs(getattr(tank, name) - getattr(origin, name)) / getattr(limits, name))


def _slowest(origin: WaterState, tank: WaterState, limits: Limits, days: int) -> str:
    name = max(FIELDS, key=lambda each: _days(origin, tank, limits, each))
    return f"{NAMES[name].capitalize() if name != 'gh_dh' else 'GH'} sets the pace: {many(days, 'day')}."


def _working(origin: WaterState, tank: WaterState, limits: Limits, days: int) -> tuple[str, ...]:
    lines = [
        f"{NAMES[name]}: |{fig(getattr(tank, name))} − {fig(getattr(origin, name))}| / "
        f"{fig(getattr(limits, name))} a day = {fig(_days(origin, tank, limits, name))} days"
        for name in FIELDS
        if _known(origin, tank, name)
    ]
    return (
        *lines,
        f"days = the largest, rounded up = {days}",
        f"share replaced on step k = 1 / ({days} − k + 1)",
    )


def _table(units: Units, planned: tuple[Step, ...], start: date) -> Table:
    columns = [
        (title, [_shown(units, step, name) for step in planned])
        for title, name in (
            ("Salinity", "salinity_g_per_l"),
            ("GH", "gh_dh"),
            ("Temperature", "temperature_c"),
        )
        if getattr(planned[0].water, name) is not None
    ]
    rows = tuple(
        (weekday_words(step.day, start), _replaced(step), *(values[n] for _, values in columns))
        for n, step in enumerate(planned)
    )
    return Table("After each step", ("Day", "Replace", *(title for title, _ in columns)), rows)


def _replaced(step: Step) -> str:
    return "all: the move" if step.share == 1.0 else show_share(round(step.share, 3))


def _shown(units: Units, step: Step, name: str) -> str:
    value = getattr(step.water, name)
    if name == "salinity_g_per_l":
        return show_salinity(value)
    return show_hardness(value, units) if name == "gh_dh" else show_temperature(value, units)
