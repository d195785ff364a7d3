"""Importing a logger's file: chosen, looked over, saved, taken back."""

import io
from typing import Any

import pytest

from app.store.readings import Reading
from app.store.session import rows
from app.store.tanks import Tank
from tests.factories import Made
from tests.support.client import Page, Visitor

PATH = "/readings/import"
FILE = "Date;Time;Temp °C\n2026-06-01;14:00;24,5\n2026-06-01;14:05;24,6\nsoon;14:10;24,7\n"


@pytest.fixture
def tank(made: Made) -> Tank:
    found = made.tank("Rack")
    made.session.commit()
    return found


def uploaded(visit: Visitor, tank: Tank, content: str | bytes = FILE, **fields: Any) -> Page:  # noqa: ANN401
    raw = content.encode() if isinstance(content, str) else content
    return visit.send(PATH, tank_id=str(tank.id), file=(io.BytesIO(raw), "logs/probe 3.csv"), **fields)


def again(visit: Visitor, page: Page, tank: Tank, **fields: Any) -> Page:  # noqa: ANN401
    """Send the form of a preview back."""
    hidden = ("packed", "name", "looked", "column_read", "quantity_read")
    kept = {name: page.value(name) or "" for name in hidden}
    shown = {"tank_id": str(tank.id), "unit": "C", "quantity": kept["quantity_read"]}
    return visit.send(PATH, **{**shown, **kept, **fields})


def test_a_file_is_shown_as_it_is_understood_before_anything_is_saved(
    visit: Visitor, tank: Tank, made: Made
) -> None:
    page = uploaded(visit, tank)
    assert page.status == 200
    assert "Look before you save" in page.words
    assert "probe 3.csv" in page.words
    assert "Date and Time, clock of Europe/Berlin" in page.words
    assert "24.6 °C" in page.words
    assert "4 soon;14:10;24,7 'soon' is no date" in page.words
    assert rows(made.session, Reading) == []


def test_what_was_looked_over_is_saved_and_taken_back_whole(visit: Visitor, tank: Tank, made: Made) -> None:
    saved = again(visit, uploaded(visit, tank), tank, do="save")
    assert "Rack: 2 temperatures of 1 June imported from probe 3.csv" in saved.words
    assert [r.value for r in rows(made.session, Reading)] == [24.5, 24.6]
    undo = next(f.get("action") for f in saved.all("form") if "/undo" in (f.get("action") or ""))
    visit.post(undo or "")
    assert rows(made.session, Reading) == []


def test_pasted_lines_do_as_well(visit: Visitor, tank: Tank, made: Made) -> None:
    page = visit.send(PATH, tank_id=str(tank.id), lines=FILE)
    again(visit, page, tank, do="save")
    assert len(rows(made.session, Reading)) == 2


def test_ambiguous_days_are_asked_about(visit: Visitor, tank: Tank, made: Made) -> None:
    page = uploaded(visit, tank, "Date,Temp\n03/04/2026 14:00,24\n04/04/2026 14:00,25\n")
    assert "Day or month first." in page.words
    assert "Save" not in page.words
    unanswered = again(visit, page, tank, do="save")
    assert "Day or month first." in unanswered.words
    chosen = again(visit, unanswered, tank, order="month first", do="look")
    again(visit, chosen, tank, order="month first", do="save")
    assert {r.taken_at.month for r in rows(made.session, Reading)} == {3, 4}


def test_what_is_read_differently_is_looked_over_again_first(visit: Visitor, tank: Tank, made: Made) -> None:
    page = again(visit, uploaded(visit, tank, "Date;Temp\n2026-06-01;41\n"), tank, unit="F", do="save")
    assert "Nothing is saved yet" in page.words
    assert "5 °C" in page.words
    assert rows(made.session, Reading) == []
    again(visit, page, tank, unit="F", do="save")
    assert [round(r.value) for r in rows(made.session, Reading)] == [5]


def test_a_file_that_is_there_already_has_nothing_to_save(visit: Visitor, tank: Tank, made: Made) -> None:
    again(visit, uploaded(visit, tank), tank, do="save")
    page = uploaded(visit, tank)
    assert "Every reading of it is there already" in page.words
    again(visit, page, tank, do="save")
    assert len(rows(made.session, Reading)) == 2


@pytest.mark.parametrize(
    ("content", "words"), [("hello", "No line with a date"), (b"\x89PNG\r\n\x00", "No line with a date")]
)
def test_what_is_no_loggers_file_is_refused(
    visit: Visitor, tank: Tank, content: str | bytes, words: str
) -> None:
    page = uploaded(visit, tank, content)
    assert page.status == 422
    assert words in page.words


def test_no_file_and_no_tank_are_asked_for(visit: Visitor, tank: Tank) -> None:
    assert "Choose a file" in visit.send(PATH, tank_id=str(tank.id)).words
    assert "Of which tank" in visit.send(PATH, tank_id="", lines=FILE).words


@pytest.mark.parametrize("packed", ["x", "eJxLTMoEAAJLASc", "AAAA"])
def test_a_file_lost_on_the_way_is_asked_for_again(visit: Visitor, tank: Tank, packed: str) -> None:
    assert "got lost" in visit.send(PATH, tank_id=str(tank.id), packed=packed).words


def test_a_strangers_tank_is_not_found(outsider: Visitor, tank: Tank) -> None:
    assert outsider.send(PATH, tank_id=str(tank.id), lines=FILE).status == 404


def test_a_reader_is_not_asked(reading: Visitor, tank: Tank) -> None:
    reading.open(PATH, expect=403)


def test_each_quantity_of_a_file_is_taken_in_by_its_column(visit: Visitor, tank: Tank, made: Made) -> None:
    several = "Time;Temp C;pH\n2026-06-01 14:00;24,5;7,2\n2026-06-01 14:05;24,6;7,3\n"
    page = uploaded(visit, tank, several)
    assert "Also in the file pH: one column at a time" in page.words
    again(visit, page, tank, do="save")
    page = again(visit, uploaded(visit, tank, several), tank, column="2", quantity="temperature", do="look")
    assert "pH pH Readings" not in page.words
    assert "Also in the file Temp C: one column at a time" in page.words
    saved = again(visit, page, tank, column="2", quantity="pH", unit="pH", do="save")
    assert "Rack: 2 readings of pH of 1 June imported from probe 3.csv (2)" in saved.words
    assert sorted(reading.value for reading in rows(made.session, Reading)) == [7.2, 7.3, 24.5, 24.6]


def test_another_column_and_what_it_measures_can_be_chosen_in_one_go(
    visit: Visitor, tank: Tank, made: Made
) -> None:
    several = "Time;Temp C;Probe 2;Battery %\n2026-06-01 14:00;24,5;8,5;97\n2026-06-01 14:05;24,6;8,7;96\n"
    page = uploaded(visit, tank, several)
    assert "Also in the file Probe 2: one column at a time" in page.words
    page = again(visit, page, tank, column="2", quantity="GH", do="look")
    assert "8.7 °dH" in page.words
    page = again(visit, page, tank, column="2", quantity="nitrate", unit="dH", do="look")
    assert "8.7 mg/L" in page.words
