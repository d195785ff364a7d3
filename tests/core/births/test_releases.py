"""Overlapping broods: a rate, and silence as a signal."""

import pytest

from app.core.births import Arrived, Exposed, forecast_birth
from app.core.births.learning import learn
from app.core.births.releases import silence
from app.core.thermal import TemperatureLog, clock_rate_at
from tests.core.births.build import MAY, day, dropped

KEY = "least_killifish"


def test_the_rate_is_that_of_a_counted_female() -> None:
    # Brown 2016: 111 young in eight months
    f = forecast_birth(dropped(key=KEY))
    assert f.fry_per_week == pytest.approx(111 / (8 * 30.4 / 7), rel=0.12)
    assert f.median is None
    assert f.window_80 is None
    assert f.cdf == ()


def test_warmer_tanks_give_more_fry() -> None:
    warm, usual = (forecast_birth(dropped(key=KEY, at=c)).fry_per_week for c in (28, 25))
    assert warm is not None
    assert usual is not None
    assert warm / usual == pytest.approx(clock_rate_at(28))


def test_a_gap_of_two_to_three_weeks_is_the_signal() -> None:
    flagged = [forecast_birth(dropped(today=d, key=KEY)).overdue for d in range(30)]
    first = flagged.index(True)
    assert 14 <= first <= 21
    assert all(flagged[first:])


def test_silence_is_exponential() -> None:
    told = dropped(today=12, key=KEY)
    assert silence(told, learn(told), TemperatureLog.constant(25)) == pytest.approx(0.1353, abs=1e-3)


def test_a_virgin_is_given_her_first_month() -> None:
    chances = [
        forecast_birth(dropped(today=d, key=KEY, start=Exposed(MAY), virgin=True)).p_carrying
        for d in (0, 25, 38, 70)
    ]
    assert chances == sorted(chances, reverse=True)
    assert chances[1] > 0.9
    assert chances[3] < 0.5


def test_a_bought_dam_shows_within_weeks_whether_she_releases() -> None:
    told = [forecast_birth(dropped(today=d, key=KEY, start=Arrived(MAY))).p_carrying for d in (0, 30)]
    assert told[0] == pytest.approx(0.6)
    assert told[1] < 0.05


def test_the_note_says_that_broods_overlap() -> None:
    assert "broods overlap" in " ".join(forecast_birth(dropped(key=KEY)).notes)
    exposed = forecast_birth(dropped(key=KEY, start=Exposed(day(-3)), virgin=True))
    assert "about 32 days after first exposure" in " ".join(exposed.notes)
