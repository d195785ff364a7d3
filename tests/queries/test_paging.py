"""Parts of long lists."""

import pytest

from app.queries.paging import part


@pytest.mark.parametrize(
    ("first", "words", "newer", "older"),
    [
        (0, "1 to 30 of 70", None, 30),
        (30, "31 to 60 of 70", 0, 60),
        (60, "61 to 70 of 70", 30, None),
        (10, "11 to 40 of 70", 0, 40),
        (-5, "1 to 30 of 70", None, 30),
        (999, "70 to 70 of 70", 39, None),
    ],
)
def test_a_part_knows_where_it_stands_and_the_ways_on(
    first: int, words: str, newer: int | None, older: int | None
) -> None:
    found = part(first, 30, 70)
    assert (found.words, found.newer, found.older) == (words, newer, older)


def test_a_short_list_needs_no_ways_on() -> None:
    assert part(0, 30, 30).whole
    assert part(0, 30, 0).whole
    assert not part(0, 30, 31).whole
