"""Forecasts as the fishroom's rows give them."""

from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import select

from app.queries.outlook import batch_outlooks, birth_outlooks
from app.services import carryings
from app.services.batch_splits import split
from app.services.batches import log_lengths
from app.services.broods import log_drop
from app.services.forecasts import issue_missing
from app.services.journal import Entry
from app.services.stays import move
from app.store.actor import Actor
from app.store.batches import BatchSex, LengthCheck, LengthKind
from app.store.carryings import Basis
from app.store.fish import WithMales
from app.store.forecasts import Forecast
from app.store.session import RoomSession
from tests.factories import Made


def test_a_dam_moved_to_a_male_waits_for_her_first_brood(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line("guppy")
    dam, his = made.dam(line), made.section()
    made.sire(line, his)
    move(session, keeper, section_id=his.id, on=made.days_ago(10), fish_ids=[dam.id])
    outlook = birth_outlooks(session, keeper)[dam.id]
    assert outlook.case.carrying.basis is Basis.EXPOSURE
    assert outlook.case.evidence.virgin
    assert outlook.forecast.median is not None
    assert 18 <= (outlook.forecast.median - keeper.today).days <= 40
    assert outlook.ribbon is not None


def test_a_dam_among_males_of_another_kind_waits_for_nothing(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam, his = made.dam(made.line("guppy")), made.section()
    made.sire(made.line("swordtail"), his)
    move(session, keeper, section_id=his.id, on=made.days_ago(10), fish_ids=[dam.id])
    assert birth_outlooks(session, keeper) == {}


def test_a_bought_dam_whose_clock_ran_out_is_counted_from_the_males_here(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, his = made.line("guppy"), made.section()
    dam = made.dam(line, with_males=WithMales.UNKNOWN, arrived_on=made.days_ago(60))
    made.sire(line, his)
    carryings.after_arrival(Entry(session, keeper, "made for a test"), dam)
    move(session, keeper, section_id=his.id, on=made.days_ago(12), fish_ids=[dam.id])
    outlook = birth_outlooks(session, keeper)[dam.id]
    assert outlook.forecast.p_carrying > 0.5
    assert outlook.case.fallback is not None


@pytest.mark.parametrize(("species", "days"), [("redtail_goodeid", [58, 56]), ("guppy", [58, 86])])
def test_days_alone_after_a_drop_count_only_where_sperm_is_stored(
    session: RoomSession, keeper: Actor, made: Made, species: str, days: list[int]
) -> None:
    line, his, nursery = made.line(species), made.section(), made.section()
    dam = made.dam(line, his, arrived_on=made.days_ago(200), born_on=made.days_ago(500))
    made.sire(line, his, arrived_on=made.days_ago(200), born_on=made.days_ago(500))
    for ago, alone in ((174, False), (116, True), (30, False)):
        before, at, back = (
            replace(keeper, now=keeper.now - timedelta(days=days)) for days in (ago + 3, ago, ago - 30)
        )
        if alone:
            move(session, before, section_id=nursery.id, on=before.today, fish_ids=[dam.id])
        log_drop(session, at, dam_id=dam.id, dropped_from=at.today, live=9, section_id=made.section().id)
        if alone:
            move(session, back, section_id=his.id, on=back.today, fish_ids=[dam.id])
    outlook = birth_outlooks(session, keeper)[dam.id]
    assert [round(gap.middle) for gap in outlook.case.evidence.history] == days


def test_a_measured_batch_knows_its_growth_sexing_and_readiness(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(made.line("guppy"), age_days=40)
    entry = Entry(session, keeper, "made for a test")
    entry.add(
        LengthCheck(
            batch_id=batch.id, checked_on=made.days_ago(5), kind=LengthKind.STANDARD, n=3, mean_mm=13.0,
            sd_mm=1.0, lengths_mm=[12.0, 13.0, 14.0], logged_at=keeper.now,
        )
    )  # fmt: skip
    outlook = batch_outlooks(session, keeper)[batch.id]
    assert outlook.ledger.alive == 20
    assert outlook.case.checks[0].mean_mm > 15, "standard length becomes total length"
    assert outlook.sexing.opens > batch.born_from
    assert outlook.ready.median is not None
    assert outlook.ready.median > keeper.today


def test_each_wait_and_batch_is_forecast_once(session: RoomSession, keeper: Actor, made: Made) -> None:
    line, his = made.line("guppy"), made.section()
    dam = made.dam(line)
    made.sire(line, his)
    move(session, keeper, section_id=his.id, on=made.days_ago(10), fish_ids=[dam.id])
    made.batch(line)
    assert issue_missing(session, keeper) == 3
    assert issue_missing(session, keeper) == 0
    kept = session.scalars(select(Forecast)).all()
    assert {forecast.issued_on for forecast in kept} == {keeper.today}
    birth = next(forecast for forecast in kept if forecast.carrying_id)
    assert birth.naive == made.days_ago(10) + timedelta(days=26)


def test_a_split_off_batch_keeps_what_was_measured_before(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(made.line("guppy"), age_days=40)
    log_lengths(session, keeper, batch.id, on=made.days_ago(20), lengths_mm=(11.0, 12.0))
    females = split(session, keeper, batch.id, on=made.days_ago(5), number=8, sex=BatchSex.FEMALES)
    outlook = batch_outlooks(session, keeper)[females.id]
    assert [check.day for check in outlook.case.checks] == [made.days_ago(20)]


def test_a_wait_that_nobody_closed_for_years_breaks_no_page(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam = made.dam(made.line("guppy"), arrived_on=made.days_ago(2400), born_on=made.days_ago(2600))
    carryings.start(Entry(session, keeper, "made for a test"), dam, Basis.ARRIVAL, made.days_ago(2400))
    assert birth_outlooks(session, keeper) == {}
