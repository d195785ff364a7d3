"""The calendar text, against RFC 5545 and an independent reading of it."""

from datetime import UTC, date, datetime

from icalendar import Calendar

from app.notify.calendar import Dated, calendar_text
from tests.reference.published import case, cases

STAMP = datetime(2026, 7, 4, 7, 5, 6, tzinfo=UTC)


DAY = date(2026, 3, 9)


def text_of(title: str = "Window", words: str = "", start: date = DAY, last: date | None = None) -> str:
    event = Dated("birth-1", start, last or start, title, words, "https://fishroom.example/fish/1")
    return calendar_text("Cellar", [event], STAMP).decode()


def unfolded(text: str) -> list[str]:
    return text.replace("\r\n ", "").split("\r\n")


def test_an_all_day_event_ends_on_the_day_after_its_last() -> None:
    published = case("12.DATE.1")
    start = date.fromisoformat(published.inputs["start"])
    last = date.fromisoformat(published.inputs["last_day"])
    lines = unfolded(text_of(start=start, last=last))
    assert f"DTSTART;VALUE=DATE:{published.expected[0]}" in lines
    assert f"DTEND;VALUE=DATE:{published.expected[1]}" in lines


def test_the_stamp_is_in_utc() -> None:
    published = case("12.UTC.1")
    stamp = datetime.fromisoformat(published.inputs["iso"])
    event = Dated("birth-1", date(2026, 3, 9), date(2026, 3, 9), "Window", "", "https://fishroom.example/")
    lines = unfolded(calendar_text("Cellar", [event], stamp.astimezone(UTC)).decode())
    assert f"DTSTAMP:{published.expected}" in lines


def test_text_is_escaped_as_the_rfc_has_it() -> None:
    for published in cases(12, "12.ESC"):
        lines = unfolded(text_of(words=published.inputs["text"]))
        assert f"DESCRIPTION:{published.expected}" in lines, published.id


def test_long_lines_are_folded_by_octets() -> None:
    published = case("12.FOLD.1")
    folded = text_of(title=published.inputs["line"].removeprefix("SUMMARY:")).split("\r\n")
    at = next(i for i, line in enumerate(folded) if line.startswith("SUMMARY"))
    parts = folded[at : at + 2]
    # RFC 5545, 3.1: at most 75 octets a line; the library stops one short of what the case allows.
    assert all(len(part.encode()) <= published.expected[0] for part in parts)
    assert parts[0] + parts[1].removeprefix(" ") == published.inputs["line"]
    assert all(len(line.encode()) <= 75 for line in text_of(title="ü" * 90).split("\r\n"))


def test_the_name_of_an_event_stays_while_it_moves() -> None:
    read = Calendar.from_ical(text_of())
    moved = Calendar.from_ical(text_of(start=date(2026, 4, 1)))
    uids = [str(next(iter(c.walk("VEVENT")))["UID"]) for c in (read, moved)]
    assert uids[0] == uids[1] == "birth-1@broodwater"
