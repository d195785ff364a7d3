"""Batches as lists and pages show them."""

from datetime import timedelta

import pytest

from app.core.quantities import Units
from app.core.sex_ratio import sex_ratio
from app.queries.batch_charts import growth_chart, survival_chart, survival_of
from app.queries.batch_page import ratio_words
from app.queries.batches import batches_page, batches_table, next_step
from app.queries.books import events_of
from app.queries.outlook import batch_outlooks
from app.services import batches
from app.store.actor import Actor
from app.store.batches import BatchSex
from app.store.session import RoomSession
from tests.factories import Made


def test_a_mixed_batch_waits_for_its_split_and_a_sorted_one_for_rehoming(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line("guppy")
    young, late = made.batch(line, age_days=5), made.batch(line, age_days=60)
    sorted_out = batches.split(session, keeper, late.id, on=keeper.today, number=5, sex=BatchSex.FEMALES)
    outlooks = batch_outlooks(session, keeper)
    steps = {id_: next_step(outlook, keeper.today) for id_, outlook in outlooks.items()}
    young_step, late_step, sorted_step = (steps[each.id] for each in (young, late, sorted_out))
    assert young_step is not None
    assert young_step.stage == "sexing"
    assert late_step is not None
    assert late_step.stage == "due"
    assert sorted_step is not None
    assert sorted_step.words.startswith("ready")
    assert batches_page(session, keeper).batches[0].code == late.code


def test_the_parts_of_the_list_hold_each_batch_once_and_the_ended_ones_last_and_newest_first(
    session: RoomSession, keeper: Actor, made: Made, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.queries.batches.SHOWN", 2)
    line = made.line("guppy")
    here = {made.batch(line, age_days=days).code for days in (5, 60, 30)}
    ended = [made.batch(line, number=2, age_days=days) for days in (90, 120, 150)]
    for batch in ended:
        batches.log_loss(session, keeper, batch.id, on=keeper.today, number=2)
    made.batch(made.line("guppy"))

    def parts(state: str) -> list[str]:
        return [
            row.code
            for first in (0, 2, 4)
            for row in batches_page(session, keeper, line.id, state, first).batches
        ]

    gone = [batch.code for batch in ended]
    assert set(parts("all")[:3]) == here
    assert parts("all")[3:] == gone
    assert parts("closed")[:3] == gone
    assert batches_page(session, keeper, line.id, "open").part.total == 3
    table = list(batches_table(session, keeper, line.id, "all"))
    assert [row[0] for row in table] == parts("all")


def test_the_sex_ratio_is_told_by_its_exact_test() -> None:
    """2 of 12: p = 2 · (1 + 12 + 66) / 4096 = 0.0386; Clopper & Pearson's 95 % is 2.1 to 48.4 %."""
    words = ratio_words(sex_ratio(2, 10))
    assert "4 of 100 broods" in words
    assert "from 2 to 48 %" in words


def test_the_growth_chart_holds_the_checks_on_their_days(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(made.line("guppy"), age_days=40)
    batches.log_lengths(session, keeper, batch.id, on=made.days_ago(3), lengths_mm=(15.0, 17.0))
    outlook = batch_outlooks(session, keeper, [batch.id])[batch.id]
    chart = growth_chart(outlook, keeper.today, Units.METRIC)
    at = chart.x.index(made.days_ago(3))
    assert chart.series[0].values[at] == pytest.approx(16.0)
    low, middle, high = chart.bands[0].low[at], chart.series[1].values[at], chart.bands[0].high[at]
    assert low is not None
    assert middle is not None
    assert high is not None
    assert low < middle < high
    inches = growth_chart(outlook, keeper.today, Units.US)
    assert inches.series[0].values[at] == pytest.approx(16.0 / 25.4)


def test_the_survival_chart_steps_down_at_a_loss(session: RoomSession, keeper: Actor, made: Made) -> None:
    batch = made.batch(number=20, age_days=40)
    batches.log_loss(session, keeper, batch.id, on=made.days_ago(30), number=5)
    batches.split(session, keeper, batch.id, on=made.days_ago(20), number=5)
    events = events_of(session, keeper.fishroom_id, [batch.id])[batch.id]
    lived = survival_of(events, keeper.today, keeper.today + timedelta(days=28))
    assert lived is not None
    chart = survival_chart(lived, keeper.today, closed=False)
    assert [round(value or 0) for value in chart.series[0].values] == [100, 75, 75]
    assert "75 % alive so far" in chart.sentence
    assert "in 8 of 10 cases" in chart.sentence
