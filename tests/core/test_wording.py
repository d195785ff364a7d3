"""One phrasing for every page."""

from datetime import date, timedelta

import pytest

from app.core.wording import age_words, begun, by_number, carrying_words, span_words


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.97, "very likely carrying"),
        (0.9, "very likely carrying"),
        (0.8, "likely carrying"),
        (0.5, "may be carrying"),
        (0.3, "probably not carrying"),
        (0.04, "hardly carrying"),
    ],
)
def test_a_chance_of_carrying_is_graded(chance: float, words: str) -> None:
    assert carrying_words(chance) == words


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        (date(2026, 6, 8), date(2026, 6, 17), "8–17 June"),
        (date(2026, 5, 28), date(2026, 6, 3), "28 May – 3 June"),
        (date(2027, 2, 16), date(2027, 8, 6), "16 February – 6 August 2027"),
        (date(2026, 12, 28), date(2027, 1, 3), "28 December – 3 January 2027"),
        (date(2026, 6, 8), date(2026, 6, 8), "8 June"),
    ],
)
def test_a_span_says_a_month_and_a_year_once(start: date, end: date, words: str) -> None:
    assert span_words(start, end, date(2026, 6, 1)) == words


def test_a_sentence_begins_with_a_capital_and_leaves_names_alone() -> None:
    assert begun("free 9 March, in B1") == "Free 9 March, in B1"
    assert begun("") == ""


def test_codes_stand_as_they_are_counted() -> None:
    assert sorted(["AM10-1F", "am7", "AM7-8", "7b", "AM7-10", "Q"], key=by_number) == [
        "7b", "am7", "AM7-8", "AM7-10", "AM10-1F", "Q"
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("young", "old", "words"),
    [
        (0, 0, "0 days"),
        (1, 1, "1 day"),
        (3, 5, "3 to 5 days"),
        (20, 22, "2 to 3 weeks"),
        (40, 41, "5 weeks"),
        (82, 82, "11 weeks"),
        (91, 91, "13 weeks"),
        (92, 92, "3 months"),
        (3, 22, "3 to 22 days"),
        (730, 730, "23 months"),
        (731, 731, "2 years"),
        (42, 70, "6 to 10 weeks"),
        (150, 150, "4 months"),
        (800, 800, "2 years"),
        (-3, -3, "0 days"),
    ],
)
def test_an_age_is_told_in_full_units_and_as_a_range_where_it_is_one(
    young: int, old: int, words: str
) -> None:
    today = date(2026, 6, 15)
    assert age_words(today - timedelta(days=old), today - timedelta(days=young), today) == words
