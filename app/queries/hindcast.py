"""Hindcast: how earlier forecasts did once the truth was known."""

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from app.core.ribbon import Ribbon, ribbon_from_cdf
from app.core.scoring import Hindcast, Shown, central, hindcast
from app.core.species import SPECIES
from app.core.stats.distributions import Table
from app.core.windows import Window
from app.core.wording import begun
from app.queries.outlook import stepped
from app.queries.paging import Part, part
from app.store.actor import Actor
from app.store.broods import Brood
from app.store.carryings import Carrying
from app.store.fish import Fish
from app.store.forecasts import Forecast, ForecastKind
from app.store.lines import Line

SHOWN = 12
SCORED = 1000
"""How many of the newest drops are looked at: enough for every number, and as quick in ten years."""
SURE_ENOUGH = 0.7
"""A window is given in case she carries; below this chance its dates are scored apart."""


@dataclass(frozen=True, slots=True)
class Past:
    """One forecast of a drop, as first shown, and what came.

    ``corrected`` says that the start of the wait was set right later, so that it rested on a mistake.
    """

    brood_id: int
    code: str
    line: str
    species: str
    issued_on: date
    p_carrying: float
    shown: Shown
    today: date
    corrected: bool

    @property
    def ribbon(self) -> Ribbon:
        """Draw the forecast with what came."""
        one = self.shown
        return ribbon_from_cdf(
            stepped(one.cdf), one.window_80, one.median, self.today, one.outcome, stage="carrying"
        )

    @property
    def held(self) -> bool:
        """Whether the drop fell in the 80 % window."""
        return self.shown.window_80.holds(self.shown.outcome)

    @property
    def miss(self) -> int:
        """How many days the most likely day was off; later drops count above zero."""
        return (self.shown.outcome - self.shown.median).days


@dataclass(frozen=True, slots=True)
class Group:
    """How the forecasts of one species or line did."""

    name: str
    score: Hindcast


@dataclass(frozen=True, slots=True)
class HindcastPage:
    """How it went with the newest drops that were forecast, and a part of them, newest first.

    ``scored`` is how many drops were looked at, where there are older ones.
    """

    score: Hindcast | None
    doubtful: Hindcast | None
    species: tuple[Group, ...]
    lines: tuple[Group, ...]
    past: tuple[Past, ...]
    part: Part
    scored: int | None


def hindcast_page(session: Session, actor: Actor, first: int = 0) -> HindcastPage:
    """Score the forecasts whose drop has come."""
    drops = Brood.fishroom_id == actor.fishroom_id
    newest = select(Brood.id).where(drops).order_by(Brood.dropped_to.desc(), Brood.id.desc()).limit(SCORED)
    every = pasts(session, actor, Brood.id.in_(newest))
    in_all = session.scalar(select(func.count(Brood.id)).where(drops)) or 0
    past = [one for one in every if one.p_carrying >= SURE_ENOUGH]
    doubtful = [one.shown for one in every if one.p_carrying < SURE_ENOUGH]
    shown = part(first, SHOWN, len(every))
    return HindcastPage(
        hindcast([one.shown for one in past]) if past else None,
        hindcast(doubtful) if doubtful else None,
        _groups(past, "species"),
        _groups(past, "line"),
        tuple(every[shown.first : shown.last]),
        shown,
        SCORED if in_all > SCORED else None,
    )


def pasts(session: Session, actor: Actor, *narrowed: ColumnElement[bool]) -> list[Past]:
    """Return what was first shown of each wait before its drop came, newest drop first."""
    statement = (
        select(Forecast, Brood, Fish.code, Line)
        .join(Carrying, Carrying.id == Forecast.carrying_id)
        .join(Brood, Brood.id == Carrying.brood_id)
        .join(Fish, Fish.id == Brood.dam_id)
        .join(Line, Line.id == Brood.line_id)
        .where(
            Forecast.fishroom_id == actor.fishroom_id,
            Forecast.kind == ForecastKind.BIRTH,
            Forecast.issued_on <= Brood.dropped_to,
            *narrowed,
        )
        .order_by(Brood.dropped_to.desc(), Brood.id.desc(), Forecast.id)
    )
    found = []
    for _, of_one in groupby(session.execute(statement), key=lambda row: row[1].id):
        (forecast, brood, code, line), *again = of_one
        shown = _shown(forecast, brood)
        if shown is not None:
            found.append(
                Past(
                    brood.id,
                    code,
                    line.name,
                    begun(SPECIES[line.species].common_name),
                    forecast.issued_on,
                    forecast.probability or 0.0,
                    shown,
                    actor.today,
                    corrected=bool(again),
                )
            )
    return found


def _shown(forecast: Forecast, brood: Brood) -> Shown | None:
    """Return a stored forecast ready to be scored; None where it named no dates."""
    rows = tuple((date.fromisoformat(day), float(p)) for day, p in forecast.detail["cdf"])
    if not rows or forecast.median is None or forecast.naive is None:
        return None
    table = Table([day.toordinal() for day, _ in rows], [p for _, p in rows])
    spread = (brood.dropped_to - brood.dropped_from).days
    return Shown(
        cdf=rows,
        window_80=_window(table, 0.8),
        window_95=_window(table, 0.95),
        median=forecast.median,
        naive=forecast.naive,
        outcome=brood.dropped_from + timedelta(days=spread // 2),
    )


def _window(table: Table, level: float) -> Window:
    """Return the central window of a stored table of chances."""
    first, last = central(table, level)
    return Window(date.fromordinal(int(first)), date.fromordinal(int(last)), level)


def _groups(past: list[Past], by: str) -> tuple[Group, ...]:
    names = sorted({getattr(one, by) for one in past})
    return tuple(
        Group(name, hindcast([one.shown for one in past if getattr(one, by) == name])) for name in names
    )
