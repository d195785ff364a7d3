"""The rule about people who wait, by dates alone."""

from dataclasses import replace
from datetime import date, timedelta

from app.core.reminders import Facts, due
from app.core.reminders.wants import people_waiting
from tests.core.reminders.test_rules import BATCH

READY = date(2026, 8, 10)
WAITED = replace(BATCH, sexed=True, waiting=((3, "Ina for 4 females"), (7, "Odd for 2 fish")))


def test_who_waits_is_told_of_before_a_batch_comes_to_size() -> None:
    (found,) = people_waiting(Facts(READY, batches=(WAITED,)))
    assert (found.key, found.due) == ("people_waiting:5:7", READY - timedelta(days=3))
    assert found.words == (
        "G-07-2 (24 fish) comes to rehoming size 10–30 August: "
        "tell who waits for them, Ina for 4 females and Odd for 2 fish."
    )


def test_a_batch_that_people_wait_for_is_not_told_of_twice() -> None:
    rules = [one.rule for one in due(Facts(READY, batches=(WAITED,)), {})]
    assert rules.count("people_waiting") == 1
    assert "ready_to_rehome" not in rules


def test_more_promised_than_are_left_is_told_at_once_and_again_when_fewer_are() -> None:
    short = replace(WAITED, alive=4, promised=6)
    today = READY - timedelta(days=40)
    (found,) = people_waiting(Facts(today, batches=(short,)))
    assert found.due == today
    assert found.words == (
        "G-07-2 has 4 fish left and 6 are promised: tell who waits, Ina for 4 females and Odd for 2 fish, "
        "or promise from another batch."
    )
    (worse,) = people_waiting(Facts(today, batches=(replace(short, alive=0),)))
    assert worse.key != found.key


def test_where_nobody_waits_nobody_is_told() -> None:
    assert not [*people_waiting(Facts(READY, batches=(BATCH,)))]
