"""The batch pages."""

import pytest

from app.services import batches, rehomings
from app.store.actor import Actor
from app.store.batches import Batch, LengthCheck
from app.store.fish import Fish, Sex
from app.store.session import RoomSession, rows
from tests.factories import Made
from tests.support.client import Visitor
from tests.support.statements import statements

ACTS = ("count", "loss", "lengths", "split", "sort", "keep", "move", "rehome")


@pytest.fixture
def batch(made: Made) -> Batch:
    """Twenty guppies, forty days old."""
    batch = made.batch(made.line("guppy"), number=20, age_days=40)
    made.session.commit()
    return batch


def test_the_page_says_what_is_true_and_what_comes_next(visit: Visitor, batch: Batch) -> None:
    page = visit.open(f"/batches/{batch.id}")
    assert "20 alive, 5 weeks old" in page.words
    assert "split now" in page.words
    assert "Ready to rehome" in page.words
    assert "Not measured yet" in page.words


def test_each_act_is_one_tap_away_on_a_small_page(visit: Visitor, batch: Batch) -> None:
    home = visit.open(f"/batches/{batch.id}").text
    for act in ACTS:
        assert f'href="/batches/{batch.id}/{act}"' in home
        assert "20 fish alive by the book" in visit.open(f"/batches/{batch.id}/{act}").words


def test_a_count_returns_to_where_it_was_asked_for(visit: Visitor, batch: Batch) -> None:
    page = visit.post(f"/batches/{batch.id}/count?next=/history", alive="18", females="9", males="8")
    assert page.answer.request.path == "/history"
    assert "18 counted, 9 females and 8 males; 2 fewer than the book had" in page.words
    page = visit.open(f"/batches/{batch.id}")
    assert "18 alive" in page.words
    assert "8 males, 9 females: nothing odd" in page.words
    assert "100 of 100 broods would come out at least this uneven" in page.words


def test_the_count_of_the_rounds_needs_no_day(visit: Visitor, batch: Batch) -> None:
    assert "18 alive" in visit.post(f"/batches/{batch.id}/count", alive="18").words


def test_a_refused_loss_keeps_what_was_typed(visit: Visitor, batch: Batch) -> None:
    page = visit.send(f"/batches/{batch.id}/loss", number="21", cause="eaten", on="2026-06-15", note="filter")
    assert page.status == 422
    assert "only 20 were alive on 15 June; 21 can't be lost" in page.words
    assert page.value("number") == "21"
    assert page.value("note") == "filter"


def test_pasted_lengths_with_a_bad_value_are_named_and_kept(visit: Visitor, batch: Batch) -> None:
    path = f"/batches/{batch.id}/lengths"
    page = visit.send(path, lengths="12.5 13 1x 12,8", kind="total length", on="2026-06-15")
    assert page.status == 422
    assert "Value 3 of 4" in page.words
    assert (page.value("lengths") or "").strip() == "12.5 13 1x 12,8"


def test_a_pasted_column_becomes_a_length_check(
    visit: Visitor, batch: Batch, session: RoomSession, keeper: Actor
) -> None:
    path = f"/batches/{batch.id}/lengths"
    page = visit.send(path, lengths="Length (cm)\r\n1.4\r\n1,5\r\n1.6", kind="standard", on="2026-06-15")
    assert "3 measured, mean 15 mm standard length" in page.words
    check = rows(session, LengthCheck)[0]
    assert check.lengths_mm == pytest.approx([14.0, 15.0, 16.0])
    assert "of 3 fish, total length" in page.words
    assert "batches like this one" in page.words


def test_number_and_mean_alone_are_enough(visit: Visitor, batch: Batch) -> None:
    path = f"/batches/{batch.id}/lengths"
    page = visit.send(path, n="6", mean_mm="15 mm", sd_mm="1 mm", kind="total", on="2026-06-15")
    assert "6 measured, mean 15 mm total length" in page.words


def test_sexes_are_parted_in_one_act_and_taken_back_in_one(visit: Visitor, batch: Batch, made: Made) -> None:
    there = made.section()
    made.session.commit()
    page = visit.send(
        f"/batches/{batch.id}/sort",
        females="9",
        males="8",
        males_section_id=str(there.id),
        on="2026-06-15",
    )
    assert "sorted: 9 females and 8 males, 3 not told yet" in page.words
    assert f"{batch.code}M" in page.words
    undo = next(form.get("action") for form in page.all("form") if "/undo" in (form.get("action") or ""))
    assert undo is not None
    after = visit.post(undo)
    assert after.answer.request.path == f"/batches/{batch.id}", "taking back leads back to the batch"
    assert "20 alive" in after.words


def test_a_fry_is_kept_as_a_fish(visit: Visitor, batch: Batch, session: RoomSession, keeper: Actor) -> None:
    page = visit.send(f"/batches/{batch.id}/keep", sex="female", code="Ruby", on="2026-06-15")
    assert "Ruby kept as broodstock" in page.words
    assert rows(session, Fish, Fish.code == "Ruby")


def test_a_batch_is_split_and_moved(visit: Visitor, batch: Batch, made: Made) -> None:
    there = made.section()
    made.session.commit()
    page = visit.send(f"/batches/{batch.id}/split", number="5", sex="females", on="2026-06-15")
    assert f"5 split off as {batch.code}F" in page.words
    page = visit.send(f"/batches/{batch.id}/move", section_id=str(there.id), on="2026-06-15")
    assert "Moved to" in page.words
    page = visit.send(f"/batches/{batch.id}/move", section_id="", on="2026-06-15")
    assert page.status == 422
    assert "Where to?" in page.words


def test_bought_juveniles_begin_a_batch(visit: Visitor, made: Made) -> None:
    line, section = made.line("guppy", "Blue"), made.section()
    made.session.commit()
    page = visit.send(
        "/batches/new",
        line_id=str(line.id),
        number="6",
        age="8 weeks",
        section_id=str(section.id),
        code="Fair 1",
        on="2026-06-15",
        source="club fair",
    )
    assert "Batch Fair 1" in page.words
    assert "6 alive, 6 to 10 weeks old" in page.words
    assert "6 fish came from club fair" in page.words


def test_the_list_puts_what_is_next_first_and_filters(visit: Visitor, made: Made, batch: Batch) -> None:
    young = made.batch(made.line("guppy"), number=9, age_days=3)
    made.session.commit()
    page = visit.open("/batches")
    assert page.words.index(batch.code) < page.words.index(young.code)
    assert "Split now" in page.words
    assert "No batch is like that" in visit.open("/batches?state=closed").words
    sheet = visit.client.get("/batches.csv").get_data(as_text=True)
    assert sheet.splitlines()[0].startswith("batch,line,sexes")
    assert len(sheet.splitlines()) == 3


def test_an_empty_list_teaches(visit: Visitor) -> None:
    assert "No batch yet" in visit.open("/batches").words
    assert "First a line and a tank" in visit.open("/batches/new").words


def test_an_ended_batch_awaits_nothing(
    visit: Visitor, batch: Batch, session: RoomSession, keeper: Actor
) -> None:
    batches.log_count(session, keeper, batch.id, on=keeper.today, alive=0)
    session.commit()
    page = visit.open(f"/batches/{batch.id}")
    assert "No fish left since 15 June" in page.words
    assert "Nothing more is awaited" in page.words


def test_a_stranger_finds_no_batch(outsider: Visitor, batch: Batch) -> None:
    for act in ("", *(f"/{act}" for act in ACTS)):
        outsider.open(f"/batches/{batch.id}{act}", expect=404)


def test_a_reader_looks_but_does_not_log(reading: Visitor, batch: Batch) -> None:
    page = reading.open(f"/batches/{batch.id}")
    assert f"/batches/{batch.id}/count" not in page.text
    assert reading.post(f"/batches/{batch.id}/count", alive="3").status == 403


def test_a_us_keepers_chart_is_in_inches(outsider: Visitor, session: RoomSession) -> None:
    from app.store.session import enter  # noqa: PLC0415 - this test stands in the other fishroom

    enter(session, outsider.actor.fishroom_id)
    there = Made(session, outsider.actor)
    batch = there.batch(there.line("guppy"), number=20, age_days=40)
    batches.log_lengths(session, outsider.actor, batch.id, on=outsider.actor.today, lengths_mm=(15.24,))
    session.commit()
    page = outsider.open(f"/batches/{batch.id}")
    assert "Total length (in)" in page.text
    assert "mean 0.6 in" in page.words


def test_the_statements_of_the_pages_do_not_grow_with_the_rows(
    visit: Visitor, made: Made, session: RoomSession, keeper: Actor
) -> None:
    line = made.line("guppy")
    batch = made.batch(line, number=20, age_days=200)

    def log(ago: int) -> None:
        batches.log_count(session, keeper, batch.id, on=made.days_ago(ago), alive=20 - ago)
        batches.keep(session, keeper, batch.id, on=made.days_ago(ago), sex=Sex.MALE)
        rehomings.rehome(session, keeper, batch.id, on=made.days_ago(ago), number=1)
        batches.split(session, keeper, batch.id, on=made.days_ago(ago), number=1)
        session.commit()

    log(4)
    paths = (f"/batches/{batch.id}", "/batches", "/rehomings")
    before = [statements(visit, path) for path in paths]
    for ago in (3, 2, 1):
        log(ago)
    assert [statements(visit, path) for path in paths] == before


def test_a_long_list_is_shown_in_parts_and_its_file_whole(
    visit: Visitor, made: Made, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.queries.batches.SHOWN", 2)
    line, section = made.line(), made.section()
    codes = {made.batch(line, section).code for _ in range(5)}
    made.session.commit()
    first = visit.open("/batches")
    assert "1 to 2 of 5" in first.words
    later = next(a.get("href") or "" for a in first.all("a") if a.get("rel") == "next")
    assert "3 to 4 of 5" in visit.open(later).words
    seen = [
        code
        for path in ("/batches", later, "/batches?from=4")
        for code in codes
        if code in visit.open(path).words
    ]
    assert sorted(seen) == sorted(codes)
    assert len(visit.client.get("/batches.csv").get_data(as_text=True).splitlines()) == 6
