"""How species, fishroom, line and dam are pooled into her next interval."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.births import OwnInterval
from app.core.births.learning import NOISE, STEP, drift, learn
from app.core.species import species
from app.core.thermal import LN_Q10_SD
from tests.core.births.build import dropped, intervals

GUPPY = species("guppy")
DAYS = st.floats(20, 33)


def test_knowing_nothing_is_the_table() -> None:
    learned = learn(dropped())
    assert learned.belief.a == 26
    # 2.0² between strains, 2.1² between dams
    assert learned.belief.var_a == pytest.approx(2.0**2 + 2.1**2)
    assert (learned.weight_own, learned.weight_line, learned.weight_fishroom) == (0, 0, 0)


def test_an_unmeasured_tank_is_less_certain() -> None:
    assert learn(dropped(at=None)).belief.var_a > learn(dropped()).belief.var_a


def test_one_own_interval_is_the_conjugate_normal() -> None:
    # by hand: level before the first interval is 26 + drift(1); prior variance 4 + 4.41
    variance, noise = 4 + 2.1**2, (NOISE * 2) ** 2
    gain = variance / (variance + noise)
    first = 26 + drift(GUPPY, 1)
    learned = learn(dropped(history=intervals(30, at=25)))
    expected = first + gain * (30 - first) + drift(GUPPY, 2) - drift(GUPPY, 1)
    assert learned.belief.a == pytest.approx(expected)
    assert learned.belief.var_a == pytest.approx(variance * (1 - gain) + (STEP * 2) ** 2)
    assert learned.weight_own == pytest.approx(gain)


def test_pooling_is_the_joint_gaussian_posterior() -> None:
    # reference: condition the joint normal of one kin interval, two own, by matrix algebra
    learned = learn(dropped(history=intervals(28, 29, at=25), kin_history=(intervals(24, at=25),)))
    strain, dam, noise, within, step = 4, 2.1**2, (NOISE * 2) ** 2, 4, (STEP * 2) ** 2
    seen = np.array([24 - drift(GUPPY, 1), 28, 29])
    mean = 26 + np.array([0, drift(GUPPY, 1), drift(GUPPY, 2)])
    cov = np.full((3, 3), strain, dtype=float)
    cov[1:, 1:] += dam
    cov += np.diag([dam + within, noise, noise + step])
    target = np.array([strain, strain + dam, strain + dam + step])
    expected = 26 + drift(GUPPY, 3) + target @ np.linalg.solve(cov, seen - mean)
    variance = strain + dam + 2 * step - target @ np.linalg.solve(cov, target)
    assert learned.belief.a == pytest.approx(expected)
    assert learned.belief.var_a == pytest.approx(variance)


def test_sisters_count_for_more_than_other_lines() -> None:
    rows = (intervals(30, 30, 30, at=25), intervals(31, 30, 31, at=25))
    line, room = learn(dropped(kin_history=rows)), learn(dropped(fishroom_history=(rows,)))
    assert line.belief.a > room.belief.a > 26
    assert line.weight_line > room.weight_fishroom > 0


@given(st.lists(DAYS, min_size=1, max_size=8), st.lists(DAYS, min_size=1, max_size=8))
def test_weights_are_shares(own: list[float], kin: list[float]) -> None:
    learned = learn(dropped(history=intervals(*own), kin_history=(intervals(*kin),)))
    weights = [learned.weight_own, learned.weight_line, learned.weight_fishroom]
    assert all(0 <= w < 1 for w in weights)
    assert sum(weights) < 1


@given(st.lists(DAYS, min_size=1, max_size=8), st.floats(0.1, 4))
def test_longer_intervals_are_never_learnt_as_shorter(own: list[float], by: float) -> None:
    shorter = learn(dropped(history=intervals(*own))).belief.a
    assert learn(dropped(history=intervals(*(d + by for d in own)))).belief.a > shorter


def test_recent_intervals_weigh_more() -> None:
    lately = learn(dropped(history=intervals(26, 26, 26, 30)))
    once = learn(dropped(history=intervals(30, 26, 26, 26)))
    assert lately.belief.a > once.belief.a


def test_a_span_teaches_less_than_a_date() -> None:
    vague = learn(dropped(history=(OwnInterval(26, 34),)))
    exact = learn(dropped(history=intervals(30)))
    assert vague.weight_own < exact.weight_own
    assert vague.belief.var_a > exact.belief.var_a


def test_a_doubled_interval_counts_as_two_cycles() -> None:
    doubled = learn(dropped(history=intervals(27, 27, 54)))
    assert doubled.missed == 1
    assert doubled.belief.a == pytest.approx(learn(dropped(history=intervals(27, 27, 27))).belief.a)


def test_the_long_gap_of_a_published_female_teaches_nothing() -> None:
    # Reznick et al. 2004, LPO-3242: 259 days between two drops
    known = intervals(31, 27, 29, 28, 28, 30, 29, 32, 28, 30)
    learned = learn(dropped(history=(*known, OwnInterval(259, 259))))
    assert learned.missed == 1
    assert learned.belief.a == pytest.approx(learn(dropped(history=known)).belief.a, abs=0.3)


def test_a_dam_of_the_line_with_a_pause_only_is_left_out() -> None:
    assert learn(dropped(kin_history=(intervals(260),))).belief == learn(dropped()).belief


def test_drift_is_a_quarter_day_a_brood_up_to_the_fortieth() -> None:
    steps = [drift(GUPPY, n + 1) - drift(GUPPY, n) for n in range(1, 42)]
    assert steps == pytest.approx([0.25] * 39 + [0, 0])
    assert drift(GUPPY, None) == 0


def test_a_slow_dam_is_not_taken_for_one_who_skips_every_other_brood() -> None:
    learned = learn(dropped(history=intervals(40, 36, 39, 37, 37, 36, at=25)))
    assert learned.missed == 0
    assert learned.belief.a == pytest.approx(37, abs=1.5)


@pytest.mark.parametrize("days", [(27, 55, 54), (55, 27, 54), (26, 52, 27, 53, 26, 79)])
def test_drops_missed_now_and_again_are_no_slowness(days: tuple[int, ...]) -> None:
    learned = learn(dropped(history=intervals(*days, at=25)))
    assert learned.missed == sum(each > 40 for each in days)
    assert learned.belief.a == pytest.approx(27, abs=1.5)


def test_a_sister_in_a_cold_tank_is_measured_by_the_clock() -> None:
    # 35, 70 and 36 days at 18.5 °C are 27, 54 and 28 thermal days: one cycle was skipped
    there = learn(dropped(kin_history=(intervals(35, 70, 36, at=18.5),))).belief
    assert there.a == pytest.approx(
        learn(dropped(kin_history=(intervals(35, 35, 36, at=18.5),))).belief.a, abs=0.1
    )


def test_warm_intervals_are_longer_by_the_clock() -> None:
    warm, cool = learn(dropped(history=intervals(26, at=28))), learn(dropped(history=intervals(26, at=22)))
    assert warm.belief.a > cool.belief.a


def test_intervals_at_another_temperature_leave_the_clock_in_doubt() -> None:
    there = learn(dropped(at=22, history=intervals(*[28] * 6, at=22)))
    assert there.at(22)[1] < there.at(28)[1]


def test_without_warm_or_cold_intervals_q10_stays_as_published() -> None:
    assert learn(dropped(history=intervals(26, 27, at=25))).belief.var_b == pytest.approx(LN_Q10_SD**2)
