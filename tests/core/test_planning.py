"""The queue of projects against every possible outcome."""

from datetime import date, timedelta
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.core.day_distribution import DayDistribution
from app.core.planning import Project, clashes, lasting, schedule, tank_free
from app.core.problems import Problem

MAY = date(2026, 5, 1)


def day(n: int) -> date:
    return MAY + timedelta(days=n)


def test_an_empty_tank_is_free_today() -> None:
    assert tank_free([], MAY, 7) == DayDistribution.sure(MAY)


def test_a_tank_is_free_when_its_last_batch_has_gone_and_it_is_turned_round() -> None:
    free = tank_free([DayDistribution.sure(day(10)), DayDistribution(day(8), (0.5, 0, 0, 0, 0.5))], MAY, 3)
    assert free.by(day(13)) == pytest.approx(0.5)
    assert free.quantile(0.9) == day(15)


def test_a_batch_that_was_ready_long_ago_frees_the_tank_from_today() -> None:
    assert tank_free([DayDistribution.sure(day(-30))], MAY, 2).quantile(0.5) == day(2)


def test_projects_in_one_tank_follow_on_one_another() -> None:
    queue = [Project("first", ("A",), lasting(10, 10)), Project("second", ("A",), lasting(20, 20))]
    first, second = schedule(queue, {"A": DayDistribution.sure(day(5))}, turn_round_days=2)
    assert (first.starts, first.ends) == (day(5), day(15))
    assert (second.starts, second.ends) == (day(17), day(37))


def test_each_project_takes_the_tank_that_is_likely_free_first() -> None:
    free = {"A": DayDistribution.sure(day(30)), "B": DayDistribution.sure(day(3))}
    queue = [Project("one", ("A", "B"), lasting(40, 40)), Project("two", ("A", "B"), lasting(5, 5))]
    assert [slot.tank for slot in schedule(queue, free)] == ["B", "A"]


def test_the_keepers_order_and_first_choice_of_tank_break_ties() -> None:
    free = {"A": DayDistribution.sure(MAY), "B": DayDistribution.sure(MAY)}
    assert schedule([Project("one", ("B", "A"), lasting(5, 5))], free)[0].tank == "B"


def test_a_project_waits_for_its_own_date() -> None:
    (slot,) = schedule(
        [Project("spring", ("A",), lasting(5, 5), not_before=day(60))], {"A": DayDistribution.sure(MAY)}
    )
    assert slot.starts == day(60)
    assert slot.start_80 is not None
    assert slot.start_80.days == 1


def test_windows_widen_down_the_queue() -> None:
    queue = [Project(str(i), ("A",), lasting(20, 40)) for i in range(4)]
    slots = schedule(queue, {"A": DayDistribution(MAY, (0.2,) * 5)})
    widths = [slot.end_80.days for slot in slots if slot.end_80]
    assert len(widths) == 4
    assert widths == sorted(widths)


def test_a_tank_that_may_never_be_free_leaves_the_end_open() -> None:
    (slot,) = schedule([Project("p", ("A",), lasting(1, 1))], {"A": DayDistribution(MAY, (0.3, 0.3))})
    assert slot.starts == day(1)
    assert slot.end_80 is None


DURATIONS = st.tuples(st.integers(0, 3), st.integers(0, 3)).map(lambda t: lasting(t[0], t[0] + t[1]))
FREE = st.builds(
    lambda first, w: DayDistribution(day(first), tuple(x / sum(w) for x in w)),
    st.integers(0, 6),
    st.lists(st.integers(1, 4), min_size=1, max_size=3),
)
QUEUE = st.lists(
    st.builds(
        Project,
        st.just("p"),
        st.sampled_from([("A",), ("B",), ("A", "B"), ("B", "A")]),
        DURATIONS,
        st.none() | st.integers(0, 9).map(day),
    ),
    min_size=1,
    max_size=3,
)


@settings(max_examples=60, deadline=None)
@given(QUEUE, FREE, FREE, st.integers(0, 2))
def test_the_plan_agrees_with_every_outcome_there_is(
    queue: list[Project], a: DayDistribution, b: DayDistribution, turn: int
) -> None:
    slots = schedule(queue, {"A": a, "B": b}, turn)
    chance: list[dict[date, float]] = [{} for _ in queue]
    outcomes = [enumerate(a.mass), enumerate(b.mass), *(enumerate(p.lasts) for p in queue)]
    for (i, p), (j, q), *lengths in product(*(list(o) for o in outcomes)):
        free = {"A": a.first + timedelta(days=i), "B": b.first + timedelta(days=j)}
        likely = p * q
        for _, r in lengths:
            likely *= r
        if not likely:
            continue
        for k, (project, slot) in enumerate(zip(queue, slots, strict=True)):
            begin = max(free[slot.tank], project.not_before or free[slot.tank])
            end = begin + timedelta(days=lengths[k][0])
            free[slot.tank] = end + timedelta(days=turn)
            chance[k][end] = chance[k].get(end, 0.0) + likely
    for slot, ends in zip(slots, chance, strict=True):
        for n in range(40):
            expected = sum(p for d, p in ends.items() if d <= day(n))
            assert slot.end.by(day(n)) == pytest.approx(expected, abs=1e-9)


def test_a_project_without_a_tank_is_refused() -> None:
    with pytest.raises(Problem, match="project p names no tank of the plan"):
        schedule([Project("p", ("Z",), lasting(1, 2))], {"A": DayDistribution.sure(MAY)})


def test_impossible_durations_are_refused() -> None:
    with pytest.raises(Problem, match="from 9 to 3 days can't be"):
        lasting(9, 3)
    with pytest.raises(Problem, match="-1 days of turn-round can't be"):
        tank_free([], MAY, -1)


def test_a_project_that_waits_for_another_is_named_with_it() -> None:
    free = {"A": DayDistribution.sure(day(5)), "B": DayDistribution.sure(day(50))}
    queue = [
        Project("first", ("A",), lasting(30, 30)),
        Project("second", ("A",), lasting(5, 5)),
        Project("elsewhere", ("B",), lasting(5, 5)),
    ]
    (clash,) = clashes(queue, free, schedule(queue, free))
    assert (clash.project, clash.behind, clash.tank) == ("second", "first", "A")
    assert clash.free.quantile(0.5) == day(5)


def test_a_project_that_comes_later_than_the_one_before_it_ends_clashes_with_none() -> None:
    free = {"A": DayDistribution.sure(MAY)}
    queue = [
        Project("first", ("A",), lasting(30, 30)),
        Project("autumn", ("A",), lasting(5, 5), not_before=day(90)),
    ]
    assert clashes(queue, free, schedule(queue, free)) == ()
