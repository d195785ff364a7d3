"""Tests of the moment of something done at a tank."""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from app.services.moments import check_moment, moment, moment_words
from app.services.refusals import Refused
from app.store.actor import Actor
from tests.factories import Made


def test_today_is_now_and_an_earlier_day_is_at_midday(keeper: Actor, made: Made) -> None:
    berlin = replace(keeper, zone="Europe/Berlin")
    assert moment(berlin, berlin.today) == berlin.now
    assert moment(berlin, made.days_ago(1)) == datetime(2026, 6, 14, 10, tzinfo=UTC)
    assert moment(berlin, made.days_ago(1), time(8, 30)) == datetime(2026, 6, 14, 6, 30, tzinfo=UTC)
    assert moment_words(berlin, datetime(2026, 6, 14, 22, 30, tzinfo=UTC)) == "15 June, 00:30"


def test_what_is_ahead_long_ago_or_after_the_tank_was_taken_down_is_refused(
    keeper: Actor, made: Made
) -> None:
    tank = made.tank("Rack")
    check_moment(keeper, tank, keeper.now)
    with pytest.raises(Refused, match="still ahead"):
        check_moment(keeper, tank, keeper.now + timedelta(minutes=1), "the kettle sings")
    with pytest.raises(Refused, match="more than 20 years ago"):
        check_moment(keeper, tank, keeper.now - timedelta(days=365 * 20 + 1))
    tank.closed_on = made.days_ago(3)
    with pytest.raises(Refused, match="Rack was taken down on 12 June 2026"):
        check_moment(keeper, tank, keeper.now)
