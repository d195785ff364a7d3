"""People who wait for fish, in the browser."""

from app.services import wants
from app.services.wants import Wanted
from app.store.batches import Batch, BatchSex
from app.store.session import rows
from app.store.wants import Want
from tests.factories import Made
from tests.support.client import Visitor

LIST = "/rehomings/waiting/new"


def kept(made: Made, number: int = 4) -> tuple[Batch, Want]:
    batch = made.batch(made.line("guppy"), number=20, age_days=60)
    want = wants.add_want(made.session, made.actor, Wanted("Ina", batch.line_id, number, made.actor.today))
    made.session.commit()
    return batch, want


def test_someone_is_put_on_the_list_and_promised_fish(visit: Visitor, made: Made) -> None:
    batch = made.batch(made.line("guppy"), number=40, age_days=60)
    made.session.commit()
    page = visit.send(LIST, who="Ina", line_id=batch.line_id, number="4", sex="females")
    assert "Ina" in page.words
    assert f"{batch.code} could give them" in page.words
    (want,) = rows(made.session, Want)
    page = visit.post(
        f"/rehomings/waiting/{want.id}/promise", f"/rehomings/waiting/{want.id}", batch_id=batch.id
    )
    assert f"promised from {batch.code}" in page.words
    listed = visit.open("/rehomings")
    assert f"4 females: promised from {batch.code}" in listed.words
    assert "Ina" in visit.client.get("/rehomings/waiting.csv").text


def test_what_is_missing_is_asked_for_and_what_was_typed_stays(visit: Visitor, made: Made) -> None:
    made.line("guppy")
    made.session.commit()
    page = visit.send(LIST, who="Ina", line_id="", number="", sex="females")
    assert page.status == 422
    assert "Fish of which line?" in page.words
    assert "How many fish?" in page.words
    assert page.value("who") == "Ina"


def test_too_many_promised_is_said_on_the_field(visit: Visitor, made: Made) -> None:
    batch, want = kept(made, 30)
    page = visit.post(
        f"/rehomings/waiting/{want.id}/promise", f"/rehomings/waiting/{want.id}", batch_id=batch.id
    )
    assert page.status == 422
    assert "can be promised. Promise fewer" in page.words


def test_rehoming_begins_with_what_the_one_who_waits_wants_and_serves_them(
    visit: Visitor, made: Made
) -> None:
    batch, want = kept(made)
    form = visit.open(f"/batches/{batch.id}/rehome?want={want.id}")
    assert (form.value("number"), form.value("to_whom")) == ("4", "Ina")
    assert f'<option selected value="{want.id}">Ina: 4 fish</option>' in form.text
    visit.post(
        f"/batches/{batch.id}/rehome", f"/batches/{batch.id}/rehome", number="4", to_whom="Ina", want=want.id
    )
    made.session.refresh(want)
    assert want.rehoming_id is not None
    assert "Nobody is on the list" in visit.open("/rehomings").words


def test_a_wish_is_changed_from_what_it_is(visit: Visitor, made: Made) -> None:
    batch = made.batch(made.line("guppy"), number=20, age_days=60)
    wanted = Wanted("Ina", batch.line_id, 4, made.days_ago(9), BatchSex.FEMALES, "by post")
    want = wants.add_want(made.session, made.actor, wanted)
    made.session.commit()
    form = visit.open(f"/rehomings/waiting/{want.id}/change")
    assert [form.value(name) for name in ("who", "number", "since", "note")] == [
        "Ina", "4", made.days_ago(9).isoformat(), "by post",
    ]  # fmt: skip
    assert '<option selected value="females">' in form.text
    assert f'<option selected value="{batch.line_id}">' in form.text


def test_a_wish_is_changed_and_taken_off_the_list(visit: Visitor, made: Made) -> None:
    _, want = kept(made)
    page = visit.send(
        f"/rehomings/waiting/{want.id}/change", who="Ina B", line_id=want.line_id, number="2", sex="males"
    )
    assert "2 males" in page.words
    page = visit.post(f"/rehomings/waiting/{want.id}/withdraw", f"/rehomings/waiting/{want.id}")
    assert "Ina B is off the list" in page.words


def test_readers_do_not_see_who_waits(reading: Visitor, made: Made) -> None:
    _, want = kept(made)
    assert "Ina" not in reading.open("/rehomings").words
    assert "Ina" not in reading.open("/history").words
    assert reading.client.get(f"/rehomings/waiting/{want.id}").status_code == 403
    assert reading.client.get("/rehomings/waiting.csv").status_code == 403


def test_keepers_find_who_waits_in_the_history(visit: Visitor, made: Made) -> None:
    kept(made)
    assert "Ina waits for 4 fish" in visit.open("/history").words
