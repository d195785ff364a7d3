"""A logger that stopped sending is noted once, by dates alone."""

from datetime import date, timedelta

from app.core.reminders import Facts, Given, LoggerFact, due

DAY = date(2026, 6, 15)
PROBE = LoggerFact(4, "Probe", 7, DAY - timedelta(days=1))


def noted(day: date, answers: dict[str, Given] | None = None, fact: LoggerFact = PROBE) -> list[str]:
    return [one.words for one in due(Facts(day, silent_loggers=(fact,)), answers or {})]


def test_silence_is_noted_for_a_week_at_the_loggers_tank() -> None:
    (one,) = due(Facts(DAY, silent_loggers=(PROBE,)), {})
    assert one.tank_id == 7
    assert one.words.startswith("Probe has sent nothing since 14 June")
    assert noted(DAY + timedelta(days=7))
    assert noted(DAY + timedelta(days=8)) == []


def test_once_answered_it_is_noted_again_only_after_it_was_heard() -> None:
    key = due(Facts(DAY, silent_loggers=(PROBE,)), {})[0].key
    answered = {key: Given()}
    assert noted(DAY, answered) == []
    assert noted(DAY, answered, LoggerFact(4, "Probe", 7, DAY)) == []
    later = LoggerFact(4, "Probe", 7, DAY + timedelta(days=3))
    assert noted(DAY + timedelta(days=4), answered, later)
