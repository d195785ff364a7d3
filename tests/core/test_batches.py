"""A batch's book balances whatever is logged."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.batches import Event, Kind, Ledger, count, kept, ledger, loss, rehomed, split_out, start
from app.core.problems import Problem

MAY = date(2026, 5, 1)


def day(n: int) -> date:
    return MAY + timedelta(days=n)


def balanced(book: Ledger) -> bool:
    there = book.alive + book.lost + book.rehomed + book.kept + book.split_out
    return book.started + book.found == there


def test_fish_leave_by_every_door() -> None:
    book = ledger(
        [start(MAY, 30), loss(day(1), 2), rehomed(day(2), 10), kept(day(3), 4), split_out(day(4), 5)]
    )
    assert (book.alive, book.lost, book.rehomed, book.kept, book.split_out) == (9, 2, 10, 4, 5)
    assert book.history == ((MAY, 30), (day(1), 28), (day(2), 18), (day(3), 14), (day(4), 9))


def test_a_short_count_is_an_unexplained_loss() -> None:
    book = ledger([start(MAY, 30), count(day(5), 26)])
    assert (book.alive, book.lost, book.unexplained) == (26, 4, 4)


def test_fish_found_again_are_no_longer_lost() -> None:
    book = ledger([start(MAY, 30), count(day(5), 26), count(day(9), 29)])
    assert (book.alive, book.lost, book.found) == (29, 1, 0)


def test_more_fish_than_the_book_ever_held_are_found() -> None:
    book = ledger([start(MAY, 30), count(day(5), 33)])
    assert (book.alive, book.lost, book.found) == (33, 0, 3)
    assert balanced(book)


def test_a_fish_seen_dead_stays_dead() -> None:
    book = ledger([start(MAY, 20), loss(day(1), 3), count(day(2), 20)])
    assert (book.lost, book.found, book.alive) == (3, 3, 20)


def test_lines_of_one_day_count_in_the_order_logged() -> None:
    before = ledger([start(MAY, 10), count(day(1), 8, order=1), loss(day(1), 1, order=2)])
    after = ledger([start(MAY, 10), loss(day(1), 1, order=1), count(day(1), 8, order=2)])
    assert (before.alive, after.alive) == (7, 8)
    assert after.history[-1] == (day(1), 8)


def test_lines_logged_late_fall_into_their_own_day() -> None:
    book = ledger([start(MAY, 10, 1), count(day(9), 5, 2), loss(day(3), 2, 3)])
    assert book.history == ((MAY, 10), (day(3), 8), (day(9), 5))


def test_more_than_are_alive_cannot_be_rehomed() -> None:
    with pytest.raises(Problem) as refused:
        ledger([start(MAY, 12), rehomed(day(2), 15)])
    assert refused.value.message == (
        "only 12 were alive on 3 May; 15 can't be rehomed. Log a count first if there are more."
    )
    assert refused.value.field == "n"


def test_a_batch_begins_with_its_fish() -> None:
    with pytest.raises(Problem, match="log first how many it started with"):
        ledger([count(MAY, 5)])


@pytest.mark.parametrize("event", [start(MAY, 0), start(MAY, -3)])
def test_a_batch_of_no_fish_is_refused(event: Event) -> None:
    with pytest.raises(Problem, match="give 1 or more"):
        ledger([event])


def test_a_negative_count_is_refused() -> None:
    with pytest.raises(Problem, match="-1 fish can't be entered; give 0 or more"):
        ledger([start(MAY, 5), count(day(1), -1)])


def test_an_empty_book_holds_nothing() -> None:
    assert ledger([]) == Ledger()


EVENTS = st.lists(
    st.builds(
        Event, st.sampled_from(Kind), st.integers(0, 40).map(day), st.integers(0, 40), st.integers(0, 3)
    ),
    max_size=20,
)


@given(EVENTS)
def test_the_book_always_balances(events: list[Event]) -> None:
    book = _as_far_as_it_goes(events)
    assert balanced(book)
    assert min(book.alive, book.lost, book.found, book.unexplained) >= 0
    assert book.unexplained <= book.lost
    assert [d for d, _ in book.history] == sorted({d for d, _ in book.history})


def _as_far_as_it_goes(events: list[Event]) -> Ledger:
    accepted: list[Event] = []
    for event in [start(MAY, 20), *events]:
        try:
            ledger([*accepted, event])
        except Problem:
            continue
        accepted.append(event)
    return ledger(accepted)
