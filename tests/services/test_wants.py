"""People who wait for fish: what they want, what is promised to them, and how they are served."""

from dataclasses import replace

import pytest

from app.core.problems import Problem
from app.queries.facts import morning
from app.queries.outlook import batch_outlooks
from app.queries.wants import offers, open_wants, want_page, wants_of_batch
from app.services import batches, rehomings, wants
from app.services.undo import undo
from app.services.wants import Wanted
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex, LossCause
from app.store.session import RoomSession, rows
from app.store.users import Role
from app.store.wants import Want
from tests.factories import Made


def waits(made: Made, batch: Batch, number: int = 4, **more: object) -> Want:
    wanted = Wanted("Ina", batch.line_id, number, made.actor.today)
    return wants.add_want(made.session, made.actor, replace(wanted, **more))  # type: ignore[arg-type]


def test_who_waits_stands_on_the_list_until_they_are_served(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=20)
    want = waits(made, batch)
    assert wants_of_batch(session, batch.id) == ((want.id, "Ina: 4 fish"),)
    gone = rehomings.rehome(session, keeper, batch.id, on=keeper.today, number=4, want_id=want.id)
    assert (want.ended_on, want.rehoming_id) == (keeper.today, gone.id)
    assert not open_wants(session)
    undo(session, keeper, session.info["act"].id)
    assert [(one.id, one.number, one.rehoming_id) for one in open_wants(session)] == [(want.id, 4, None)]


def test_who_gets_fewer_than_wanted_waits_for_the_rest(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=20)
    want = waits(made, batch, 6)
    rehomings.rehome(session, keeper, batch.id, on=keeper.today, number=2, want_id=want.id)
    assert (want.number, want.ended_on) == (4, None)


def test_no_more_is_promised_than_will_likely_be_there(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=20, age_days=60)
    (offer,) = offers(session, keeper, batch_outlooks(session, keeper), ()).values()
    assert 0 < offer.likely < 20, "some of twenty may be lost before they are ready"
    first = waits(made, batch, offer.likely - 2)
    wants.promise(session, keeper, first.id, batch.id)
    second = waits(made, batch, 3, who="Odd")
    with pytest.raises(Problem, match=f"{offer.likely - 2} of them promised: 2 can be promised") as caught:
        wants.promise(session, keeper, second.id, batch.id)
    assert caught.value.field == "batch_id"
    wants.change_want(session, keeper, second.id, Wanted("Odd", batch.line_id, 2, keeper.today))
    wants.promise(session, keeper, second.id, batch.id)
    assert second.batch_id == batch.id


def test_of_a_batch_not_sexed_half_are_counted_for_each_sex(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=20, age_days=60)
    (offer,) = offers(session, keeper, batch_outlooks(session, keeper), ()).values()
    too_many = waits(made, batch, offer.likely // 2 + 1, sex=BatchSex.FEMALES)
    with pytest.raises(Problem, match=f"{offer.likely // 2} can be promised"):
        wants.promise(session, keeper, too_many.id, batch.id)


def test_fish_of_another_line_or_sex_are_not_promised(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch, other = made.batch(number=20, age_days=60), made.batch(number=20, age_days=60)
    want = waits(made, batch, 2, sex=BatchSex.MALES)
    with pytest.raises(Problem, match="not of the line that Ina waits for"):
        wants.promise(session, keeper, want.id, other.id)
    batch.sex = BatchSex.FEMALES
    session.flush()
    with pytest.raises(Problem, match="holds females only"):
        wants.promise(session, keeper, want.id, batch.id)
    with pytest.raises(Problem, match="waits for"):
        rehomings.rehome(session, keeper, other.id, on=keeper.today, number=1, want_id=want.id)


@pytest.mark.parametrize(
    ("more", "field"), [({"who": " "}, "who"), ({"number": 0}, "number"), ({"who": "x" * 121}, "who")]
)
def test_what_makes_no_wish_is_refused_by_its_field(made: Made, more: dict[str, object], field: str) -> None:
    with pytest.raises(Problem) as caught:
        waits(made, made.batch(), **more)  # type: ignore[arg-type]
    assert caught.value.field == field
    assert not rows(made.session, Want)


def test_who_is_off_the_list_is_promised_nothing_until_that_is_taken_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=20)
    want = waits(made, batch)
    wants.withdraw(session, keeper, want.id)
    off = session.info["act"].id
    assert want_page(session, keeper, want.id).over == "taken off the list"
    with pytest.raises(Problem, match="does not wait any more"):
        wants.promise(session, keeper, want.id, batch.id)
    undo(session, keeper, off)
    wants.promise(session, keeper, want.id, batch.id)
    wants.promise(session, keeper, want.id, None)
    assert want.batch_id is None


def test_deaths_after_a_promise_are_told(session: RoomSession, keeper: Actor, made: Made) -> None:
    batch = made.batch(number=20, age_days=60)
    want = waits(made, batch, 8)
    wants.promise(session, keeper, want.id, batch.id)
    batches.log_loss(session, keeper, batch.id, on=keeper.today, number=14, cause=LossCause.UNKNOWN)
    (fact,) = morning(session, keeper).facts.batches
    assert (fact.waiting, fact.promised, fact.alive) == (((want.id, "Ina for 8 fish"),), 8, 6)
    assert "more are promised than will likely be there" in want_page(session, keeper, want.id).waiting.next


def test_who_was_promised_nothing_waits_for_the_first_batch_of_the_line(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line("guppy")
    older, younger = made.batch(line, age_days=70), made.batch(line, age_days=20)
    waits(made, younger)
    told = {fact.code: fact.waiting for fact in morning(session, keeper).facts.batches}
    assert [words for _, words in told[older.code]] == ["Ina for 4 fish"]
    assert told[younger.code] == ()
    reader = replace(keeper, role=Role.READER)
    assert all(not fact.waiting for fact in morning(session, reader).facts.batches)
