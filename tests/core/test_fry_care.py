"""Fry care: stages by age, what is laid over what, and room by length."""

from app.core.fry_care import USUAL, Care, care_at, litres_wanted, merged, usual


def test_feeds_grow_fewer_and_changes_rarer_with_age() -> None:
    feeds = [one.feeds_a_day for one in USUAL]
    assert feeds == sorted(feeds, reverse=True)
    assert [one.change_every_days for one in USUAL][-1] == 7
    assert care_at(USUAL, 20) == USUAL[1]


def test_nothing_holds_before_the_first_stage() -> None:
    assert care_at((Care(5, 4, 2, 0.1),), 4) is None


def test_the_smallest_fry_keep_the_first_stage_longer() -> None:
    assert usual(7.5) == USUAL
    assert care_at(usual(5.0), 14) == USUAL[0]
    assert care_at(usual(5.0), 21).feeds_a_day == USUAL[1].feeds_a_day  # type: ignore[union-attr]


def test_a_stage_of_ones_own_stands_over_the_usual_one_of_that_age() -> None:
    own = Care(14, 6, 1, 0.1)
    table = merged(USUAL, (own,))
    assert care_at(table, 15) == own
    assert care_at(table, 29) == USUAL[2]


def test_longer_fish_want_more_room() -> None:
    wanted = [litres_wanted(length) for length in (8.0, 12.0, 12.1, 25.0, 40.0, 90.0)]
    assert wanted == [0.5, 0.5, 1.0, 2.0, 3.0, 5.0]
