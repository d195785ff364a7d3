"""What comes next for each dam and each batch: forecasts run on today's evidence, ready to be shown."""

from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from sqlalchemy.orm import Session

from app.core.batches import Ledger
from app.core.births import BirthForecast, forecast_birth
from app.core.growth import GrowthForecast
from app.core.readiness import ReadyForecast
from app.core.ribbon import Ribbon, ribbon_from_cdf, ribbon_from_window
from app.core.sexing import SexingForecast
from app.core.species import Overrides
from app.core.wording import day_words
from app.queries.batch_reckoning import Measured, reckon_batch
from app.queries.books import books
from app.queries.evidence import BirthCase, GrowthCase, birth_cases, growth_cases
from app.store.actor import Actor
from app.store.batches import BatchSex

EVEN_CHANCE = 0.5


@dataclass(frozen=True, slots=True)
class BirthOutlook:
    """One dam's wait, what the reckoning says of it, and how it is drawn."""

    case: BirthCase
    forecast: BirthForecast
    today: date

    @property
    def ribbon(self) -> Ribbon | None:
        """Draw the wait, where it has dates; only asked for where it is shown."""
        return birth_ribbon(self.forecast, self.today)

    @property
    def carrying_id(self) -> int:
        """The wait's own number."""
        return self.case.carrying.id

    @property
    def dam_id(self) -> int:
        """Whose wait it is."""
        return self.case.dam.id


@dataclass(frozen=True, slots=True)
class BatchOutlook:
    """One batch: its book, its growth, and when it can be sexed, must be split and can go."""

    case: GrowthCase
    ledger: Ledger
    growth: GrowthForecast
    sexing: SexingForecast
    ready: ReadyForecast
    today: date

    @property
    def sexing_ribbon(self) -> Ribbon:
        """Draw when its sexes can be told and parted."""
        return sexing_ribbon(self.sexing, self.today)

    @property
    def ready_ribbon(self) -> Ribbon | None:
        """Draw when it is ready, where that has dates."""
        return ready_ribbon(self.ready, self.today)

    @property
    def batch_id(self) -> int:
        """Which batch it is."""
        return self.case.batch.id


def birth_outlooks(
    session: Session, actor: Actor, dam_ids: Sequence[int] | None = None
) -> dict[int, BirthOutlook]:
    """Return the outlook of every waiting dam (or those asked for), by dam."""
    cases = birth_cases(session, actor, dam_ids)
    return {case.dam.id: birth_outlook(case, actor.today) for case in cases}


def birth_outlook(case: BirthCase, today: date) -> BirthOutlook:
    """Forecast one case; a bought dam whose own clock ran out is counted from the males she met here."""
    forecast = forecast_birth(case.evidence)
    if case.fallback is not None and forecast.p_carrying < EVEN_CHANCE:
        forecast = forecast_birth(case.fallback)
    return BirthOutlook(case, forecast, today)


def birth_ribbon(
    forecast: BirthForecast, today: date, truth: date | None = None, span: tuple[date, date] | None = None
) -> Ribbon | None:
    """Draw a birth forecast, where it has dates; ``span`` is an axis that it shares with others."""
    if forecast.window_80 is None or forecast.median is None:
        return None
    chance = stepped(forecast.cdf)
    return ribbon_from_cdf(chance, forecast.window_80, forecast.median, today, truth, span, stage="carrying")


def birth_ribbons(outlooks: Mapping[int, BirthOutlook]) -> dict[int, Ribbon]:
    """Draw the waits of dams that stand one below the other, all on the same dates."""
    alone = {key: ribbon for key, one in outlooks.items() if (ribbon := one.ribbon)}
    if len(alone) < 2:
        return alone
    span = min(one.start for one in alone.values()), max(one.end for one in alone.values())
    drawn = {key: birth_ribbon(outlooks[key].forecast, outlooks[key].today, span=span) for key in alone}
    return {key: ribbon for key, ribbon in drawn.items() if ribbon}


def stepped(rows: Sequence[tuple[date, float]]) -> Callable[[date], float]:
    """Return the chance by the end of a day, from rows of day and chance."""
    days = [day for day, _ in rows]

    def chance(day: date) -> float:
        at = bisect_right(days, day)
        return rows[at - 1][1] if at else 0.0

    return chance


def batch_outlooks(
    session: Session,
    actor: Actor,
    batch_ids: Sequence[int] | None = None,
    *,
    sale_length_mm: float | None = None,
) -> dict[int, BatchOutlook]:
    """Return the outlook of every open batch (or those asked for), by batch; with a sale length tried."""
    cases = growth_cases(session, actor, batch_ids)
    if sale_length_mm is not None:
        cases = [replace(case, sale_length_mm=sale_length_mm) for case in cases]
    ledgers = books(session, actor.fishroom_id, [case.batch.id for case in cases])
    return {case.batch.id: batch_outlook(case, ledgers[case.batch.id], actor.today) for case in cases}


def batch_outlook(case: GrowthCase, ledger: Ledger, today: date) -> BatchOutlook:
    """Run the models of growth, sexing and readiness for one batch."""
    kin = tuple(_measured(other, other.checks[-1].day) for other in case.kin)
    growth, sexing, ready = reckon_batch(_measured(case, today), kin)
    return BatchOutlook(case, ledger, growth, sexing, ready, today)


def _measured(case: GrowthCase, today: date) -> Measured:
    line = case.line
    return Measured(
        line.species,
        Overrides(line.interval_days, case.sale_length_mm or line.sale_length_mm, line.sexable_age_days),
        case.born,
        today,
        case.born_uncertainty_days,
        case.sex,
        case.temperature,
        case.checks,
        sexed=case.batch.sex is not BatchSex.MIXED,
    )


def sexing_ribbon(sexing: SexingForecast, today: date) -> Ribbon:
    """Draw the sexing window, and say its three dates in their order."""
    told = (
        f"half can be told from {day_words(sexing.opens, today)}, nearly all from "
        f"{day_words(sexing.comfortable, today)}"
    )
    split = f"split by {day_words(sexing.split_by, today)}"
    said = f"{split}; {told}" if sexing.split_by < sexing.opens else f"{told}; {split}"
    return replace(ribbon_from_window(sexing.window, today, stage="sexing"), sentence=said)


def ready_ribbon(
    ready: ReadyForecast, today: date, truth: date | None = None, span: tuple[date, date] | None = None
) -> Ribbon | None:
    """Draw when a batch is ready, where it has dates; ``span`` is an axis that it shares with others."""
    if ready.window_80 is None or ready.median is None:
        return None
    return ribbon_from_window(ready.window_80, today, ready.median, truth, span, stage="ready")
