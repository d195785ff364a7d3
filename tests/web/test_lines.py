"""The line pages."""

from app.services import broods
from tests.factories import Made
from tests.support.client import Visitor
from tests.support.statements import statements


def test_an_empty_list_teaches_and_leads_on(visit: Visitor) -> None:
    page = visit.open("/lines")
    assert "No lines yet" in page.words
    assert any(link.get("href") == "/lines/new" for link in page.all("a"))


def test_a_line_is_begun_with_the_keepers_own_numbers(visit: Visitor) -> None:
    page = visit.send("/lines/new", name="Copper", species="swordtail", interval_days="5 weeks")
    assert "Line Copper begun" in page.words
    assert "35 days, yours" in page.words
    assert "nobody here now" in page.words.lower()


def test_nothing_typed_is_lost_on_a_refused_line(visit: Visitor) -> None:
    page = visit.send("/lines/new", name="Copper", species="swordtail", interval_days="soon", note="from A")
    assert page.status == 422
    assert (page.value("name"), page.value("interval_days"), page.value("note")) == (
        "Copper",
        "soon",
        "from A",
    )


def test_a_number_out_of_range_is_refused_on_its_field(visit: Visitor) -> None:
    page = visit.send("/lines/new", name="Copper", species="swordtail", interval_days="300")
    assert page.status == 422
    assert "300 days is not likely" in page.words


def test_an_edit_keeps_the_decimals_that_were_not_shown(visit: Visitor, made: Made) -> None:
    line = made.line("guppy", "Blue")
    line.interval_days = 28.1234
    made.session.commit()
    visit.send(
        f"/lines/{line.id}/edit",
        name="Bluer",
        species="guppy",
        interval_days=visit.open(f"/lines/{line.id}/edit").value("interval_days"),
    )
    made.session.refresh(line)
    assert (line.name, line.interval_days) == ("Bluer", 28.1234)


def test_a_line_shows_its_fish_batches_broods_and_intervals(visit: Visitor, made: Made) -> None:
    line = made.line("guppy", "Blue")
    dam = made.dam(line, code="D1")
    made.sire(line, code="S1")
    batch = made.batch(line, number=17)
    for days in (58, 30):
        broods.log_drop(made.session, made.actor, dam_id=dam.id, dropped_from=made.days_ago(days), live=12)
    made.session.commit()
    page = visit.open(f"/lines/{line.id}")
    for words in ("D1", "S1", batch.code, "17 alive", "D1-2", "28.0 days on average over 1 interval"):
        assert words in page.words
    assert "1 dam, 1 sire, 3 batches with 41 young" in visit.open("/lines").words


def test_the_page_of_a_line_reads_no_more_for_more_fish(visit: Visitor, made: Made) -> None:
    line = made.line()
    for _ in range(2):
        made.dam(line)
        made.batch(line)
    made.session.commit()
    few = statements(visit, f"/lines/{line.id}")
    for _ in range(6):
        made.dam(line)
        made.batch(line)
    made.session.commit()
    assert statements(visit, f"/lines/{line.id}") == few


def test_a_reader_sees_a_line_but_no_way_to_change_it(reading: Visitor, made: Made) -> None:
    line = made.line()
    made.session.commit()
    page = reading.open(f"/lines/{line.id}")
    assert not any("edit" in (link.get("href") or "") for link in page.all("a"))
    reading.send("/lines/new", name="Mine", species="guppy")
    assert reading.post("/lines/new", "/lines/new", name="Mine", species="guppy").status == 403


def test_a_stranger_finds_no_line(outsider: Visitor, made: Made) -> None:
    line = made.line()
    made.session.commit()
    for path in (f"/lines/{line.id}", f"/lines/{line.id}/edit"):
        outsider.open(path, expect=404)
