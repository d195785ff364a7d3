"""A lost message is told once, for a week, by dates alone."""

from datetime import date, timedelta

from app.core.reminders import Facts, Given, LostFact, due

DAY = date(2026, 6, 15)
LOST = LostFact(3, "k…@fish.example", DAY, "did not go out. The mail server said no.")


def test_a_lost_message_is_told_until_it_is_answered_or_a_week_old() -> None:
    told = due(Facts(DAY, lost=(LOST,)), {})
    assert [r.words for r in told] == [
        "Your message of 15 June to k…@fish.example did not go out. The mail server said no."
    ]
    assert due(Facts(DAY + timedelta(days=7), lost=(LOST,)), {})
    assert due(Facts(DAY + timedelta(days=8), lost=(LOST,)), {}) == []
    assert due(Facts(DAY, lost=(LOST,)), {told[0].key: Given()}) == []
