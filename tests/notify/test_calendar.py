"""The calendar text, against the rules of RFC 5545 and 7986 and an independent reader of them."""

import re
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from app.notify.calendar import Dated, calendar_text, escaped, folded
from tests.reference.published import case, cases

STAMP = datetime(2026, 7, 4, 7, 5, 6, tzinfo=UTC)
DAY = date(2026, 3, 9)
URL = "https://fishroom.example/fish/1"
LINE = re.compile(rb"[A-Z0-9-]+(?:;[A-Z0-9-]+=[^\x00-\x1f\":;,]+)*:[^\x00-\x08\x0a-\x1f\x7f]*")
"""RFC 5545, 3.1: contentline = name *(";" param) ":" value."""
ONCE = ("UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "SEQUENCE", "STATUS", "LAST-MODIFIED", "TRANSP")


def event(title: str = "Window", words: str = "", start: date = DAY, last: date | None = None) -> Dated:
    return Dated("birth-1", start, last or start, title, words, URL, "Birth windows", STAMP)


def text_of(
    title: str = "Window",
    words: str = "",
    start: date = DAY,
    last: date | None = None,
    alarm: int | None = None,
) -> str:
    return calendar_text("Cellar", "7-2026", [event(title, words, start, last)], alarm).decode()


def unfolded(text: str) -> list[str]:
    return text.replace("\r\n ", "").split("\r\n")


def check(text: bytes) -> None:
    """Fail on what a strict reader would not take; written from the RFC, apart from what is tested."""
    assert text.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in text.replace(b"\r\n", b"")
    assert b"\r" not in text.replace(b"\r\n", b"")
    for piece in text.split(b"\r\n"):
        assert len(piece) <= 75
        piece.decode()
    lines = text.replace(b"\r\n ", b"").split(b"\r\n")[:-1]
    assert [line for line in lines if not LINE.fullmatch(line)] == []
    open_parts: list[bytes] = []
    for line in lines:
        name, _, value = line.partition(b":")
        if name == b"BEGIN":
            open_parts.append(value)
        elif name == b"END":
            assert open_parts.pop() == value
    assert open_parts == []
    for found in re.findall(rb"BEGIN:VEVENT\r\n(.*?)END:VEVENT", b"\r\n".join(lines), flags=re.DOTALL):
        own = re.sub(rb"BEGIN:VALARM.*?END:VALARM\r\n", b"", found, flags=re.DOTALL)
        names = [re.split(rb"[:;]", line)[0].decode() for line in own.split(b"\r\n")[:-1]]
        assert [names.count(name) for name in ONCE] == [1] * len(ONCE)


def test_an_all_day_event_ends_on_the_day_after_its_last() -> None:
    published = case("12.DATE.1")
    start = date.fromisoformat(published.inputs["start"])
    last = date.fromisoformat(published.inputs["last_day"])
    lines = unfolded(text_of(start=start, last=last))
    assert f"DTSTART;VALUE=DATE:{published.expected[0]}" in lines
    assert f"DTEND;VALUE=DATE:{published.expected[1]}" in lines


def test_the_stamp_is_in_utc_and_that_of_the_last_change() -> None:
    published = case("12.UTC.1")
    stamp = datetime.fromisoformat(published.inputs["iso"])
    told = Dated("birth-1", DAY, DAY, "Window", "", URL, "", stamp, sequence=3)
    lines = unfolded(calendar_text("Cellar", "7-2026", [told]).decode())
    assert f"DTSTAMP:{published.expected}" in lines
    assert f"LAST-MODIFIED:{published.expected}" in lines
    assert "SEQUENCE:3" in lines


def test_text_is_escaped_as_the_rfc_has_it() -> None:
    for published in cases(12, "12.ESC"):
        lines = unfolded(text_of(words=published.inputs["text"]))
        assert f"DESCRIPTION:{published.expected}" in lines, published.id


def test_long_lines_are_folded_by_octets() -> None:
    published = case("12.FOLD.1")
    parts = folded(published.inputs["line"]).split(b"\r\n")[:-1]
    assert [len(part) for part in parts][: len(published.expected) - 1] == published.expected[:-1]
    assert b"".join([parts[0], *(part[1:] for part in parts[1:])]).decode() == published.inputs["line"]


@given(st.text(max_size=300))
def test_whatever_stands_in_a_name_the_text_is_whole_and_reads_back(title: str) -> None:
    text = text_of(title=title, words=title, alarm=7).encode()
    check(text)
    read = next(iter(Calendar.from_ical(text.decode()).walk("VEVENT")))
    shown = re.sub(r"[\x00-\x08\x0b-\x1f\x7f]", "", title.replace("\r\n", "\n").replace("\r", "\n"))
    assert str(read["SUMMARY"]) == shown


@pytest.mark.parametrize("letter", ["ü", "€", "𝄞"])
@pytest.mark.parametrize("before", range(4))
def test_no_letter_is_cut_in_two(letter: str, before: int) -> None:
    pieces = folded("x" * before + letter * 90).split(b"\r\n")
    assert all(len(piece) <= 75 for piece in pieces)
    assert "".join(piece.decode().removeprefix(" ") for piece in pieces) == "x" * before + letter * 90


def test_control_characters_are_left_out() -> None:
    assert escaped("a\x00b\x07c\td") == "abc\td"


def test_the_name_of_an_event_stays_while_it_moves_and_is_no_other_fishrooms() -> None:
    here = unfolded(text_of())
    moved = unfolded(text_of(start=date(2026, 4, 1)))
    uid = next(line for line in here if line.startswith("UID:"))
    assert uid == "UID:birth-1@7-2026.broodwater"
    assert uid in moved
    elsewhere = calendar_text("Attic", "8-2026", [event()]).decode()
    assert uid not in elsewhere


def test_a_cancelled_event_says_so_and_rings_no_more() -> None:
    gone = Dated("birth-1", DAY, DAY, "Window", "", "", "", STAMP, 2, cancelled=True)
    text = calendar_text("Cellar", "7-2026", [gone], 7)
    check(text)
    assert b"STATUS:CANCELLED" in text
    assert b"VALARM" not in text


def test_an_alarm_rings_on_the_first_day_at_its_hour() -> None:
    text = text_of(alarm=7)
    check(text.encode())
    assert "BEGIN:VALARM\r\nACTION:DISPLAY\r\nTRIGGER:PT7H\r\nDESCRIPTION:Window\r\nEND:VALARM" in text
    alarm = next(iter(Calendar.from_ical(text).walk("VALARM")))
    assert alarm.decoded("TRIGGER") == timedelta(hours=7)


def test_the_calendar_names_itself_and_how_often_to_ask() -> None:
    read = Calendar.from_ical(text_of())
    assert str(read["NAME"]) == str(read["X-WR-CALNAME"]) == "Cellar"
    assert read.decoded("REFRESH-INTERVAL") == timedelta(hours=6)  # RFC 7986, 5.7
    assert "METHOD" not in read


def test_an_empty_calendar_is_one_too() -> None:
    text = calendar_text("Cellar", "7-2026", [])
    assert text.startswith(b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\n")
    assert Calendar.from_ical(text.decode()).walk("VEVENT") == []
