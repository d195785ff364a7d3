"""Logging drops and correcting them."""

from datetime import date
from typing import Any

import pytest

from app.queries.books import books
from app.services import broods, carryings, pairings
from app.services.journal import Entry
from app.services.refusals import Refused
from app.services.stays import open_stay
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.batches import Batch, Loss
from app.store.broods import Brood
from app.store.carryings import Basis, Carrying, Outcome
from app.store.fish import Fish, WithMales
from app.store.journal import Act
from app.store.session import NotFound, RoomSession, find, rows
from app.store.stays import Stay
from tests.conftest import People
from tests.factories import Made


def waits(session: RoomSession, dam: Fish) -> list[Carrying]:
    return list(rows(session, Carrying, Carrying.dam_id == dam.id))


def open_wait(session: RoomSession, dam: Fish) -> Carrying:
    (wait,) = [wait for wait in waits(session, dam) if wait.ended_on is None]
    return wait


def drop(session: RoomSession, actor: Actor, dam: Fish, on: date, **more: Any) -> Brood:  # noqa: ANN401
    return broods.log_drop(session, actor, dam_id=dam.id, dropped_from=on, **{"live": 20, **more})


def lose(session: RoomSession, actor: Actor, batch: Batch, number: int, on: date) -> None:
    entry = Entry(session, actor, "log loss")
    entry.add(Loss(batch_id=batch.id, lost_on=on, number=number, logged_at=actor.now))
    entry.tell(f"batch:{batch.id}", "lost")


def test_a_drop_ends_the_wait_makes_a_batch_and_starts_the_next_wait(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    dam, sire = made.dam(line), made.sire(line)
    pairing = pairings.make_pairing(
        session,
        keeper,
        section_id=section.id,
        dam_ids=[dam.id],
        sire_ids=[sire.id],
        started_on=made.days_ago(38),
    )
    brood = drop(session, keeper, dam, keeper.today, live=17, dead=1, early=2)
    first, second = waits(session, dam)
    assert (first.outcome, first.ended_on, first.brood_id) == (Outcome.DROPPED, keeper.today, brood.id)
    assert (second.basis, second.after_brood_id) == (Basis.LAST_DROP, brood.id)
    assert brood.pairing_id == pairing.id
    (batch,) = rows(session, Batch, Batch.brood_id == brood.id)
    assert (batch.code, batch.start_count, batch.born_from) == (f"{dam.code}-1", 17, keeper.today)
    stay = open_stay(session, batch=batch)
    assert stay is not None
    assert (stay.section_id, stay.from_on) == (section.id, keeper.today)


def test_a_drop_nobody_paired_for_is_as_easy(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam(with_males=WithMales.YES, arrived_on=made.days_ago(8))
    entry = Entry(session, keeper, "made for a test")
    carryings.after_arrival(entry, dam)
    brood = drop(session, keeper, dam, made.days_ago(8))
    assert waits(session, dam)[0].brood_id == brood.id
    assert open_wait(session, dam).basis is Basis.LAST_DROP
    assert brood.pairing_id is None


def test_a_drop_without_any_wait_is_accepted(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam()
    brood = drop(session, keeper, dam, keeper.today)
    assert open_wait(session, dam).after_brood_id == brood.id


def test_a_drop_from_stored_sperm_goes_back_to_the_ended_pairing(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line()
    dam, sire = made.dam(line), made.sire(line)
    pairing = pairings.make_pairing(
        session,
        keeper,
        section_id=made.section().id,
        dam_ids=[dam.id],
        sire_ids=[sire.id],
        started_on=made.days_ago(59),
    )
    drop(session, keeper, dam, made.days_ago(28))
    pairings.end_pairing(session, keeper, pairing.id, on=made.days_ago(25), males_to=made.section().id)
    assert drop(session, keeper, dam, keeper.today).pairing_id == pairing.id


def test_a_drop_between_two_dates_carries_both(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam()
    brood = drop(session, keeper, dam, made.days_ago(3), dropped_to=made.days_ago(1))
    (batch,) = rows(session, Batch)
    assert (batch.born_from, batch.born_to, batch.started_on) == (
        made.days_ago(3),
        made.days_ago(1),
        made.days_ago(1),
    )
    wait = open_wait(session, dam)
    assert (wait.started_on, wait.started_until) == (made.days_ago(3), made.days_ago(1))
    assert "between 12 June and 14 June" in rows(session, Act)[-1].words
    assert brood.code == f"{dam.code}-1"


def test_a_drop_of_dead_fry_makes_no_batch(session: RoomSession, keeper: Actor, made: Made) -> None:
    drop(session, keeper, made.dam(), keeper.today, live=0, dead=9)
    assert not rows(session, Batch)


def test_the_parents_are_moved_out_all_or_the_dam_alone(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, home, away = made.line(), made.section(), made.section()
    dam, other, sire = made.dam(line, home), made.dam(line, home), made.sire(line, home)
    drop(session, keeper, dam, made.days_ago(30), parents_moved_to=away.id, movers=broods.Movers.DAM)
    assert [_where(session, fish) for fish in (dam, other, sire)] == [away.id, home.id, home.id]
    drop(session, keeper, other, made.days_ago(2), parents_moved_to=away.id)
    assert {_where(session, fish) for fish in (dam, other, sire)} == {away.id}


def _where(session: RoomSession, fish: Fish) -> int:
    stay = open_stay(session, fish=fish)
    assert stay is not None
    return stay.section_id


def test_only_the_dam_moves_when_the_fry_were_caught_out(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, home, box, away = made.line(), made.section(), made.section(), made.section()
    dam, other = made.dam(line, home), made.dam(line, home)
    drop(session, keeper, dam, keeper.today, section_id=box.id, parents_moved_to=away.id)
    assert (_where(session, dam), _where(session, other)) == (away.id, home.id)


def test_parents_are_not_moved_to_the_fry(session: RoomSession, keeper: Actor, made: Made) -> None:
    home = made.section()
    dam = made.dam(section=home)
    with pytest.raises(Refused, match="The fry are there"):
        drop(session, keeper, dam, keeper.today, parents_moved_to=home.id)


def test_a_drop_is_taken_back_whole(session: RoomSession, keeper: Actor, made: Made) -> None:
    line, away = made.line(), made.section()
    dam, sire = made.dam(line), made.sire(line)
    pairings.make_pairing(
        session,
        keeper,
        section_id=made.section().id,
        dam_ids=[dam.id],
        sire_ids=[sire.id],
        started_on=made.days_ago(38),
    )
    stays = len(rows(session, Stay))
    drop(session, keeper, dam, keeper.today, parents_moved_to=away.id)
    undo(session, keeper, rows(session, Act)[-1].id)
    assert not rows(session, Brood)
    assert not rows(session, Batch)
    assert open_wait(session, dam).basis is Basis.EXPOSURE
    assert len(rows(session, Stay)) == stays


def test_codes_count_on_where_one_is_taken(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam()
    made.batch().code = f"{dam.code}-1"
    session.flush()
    assert drop(session, keeper, dam, keeper.today).code == f"{dam.code}-2"


REFUSED: list[tuple[str, dict[str, Any], str, str]] = [
    ("a future date", {"on": -1}, "still ahead", "dropped_from"),
    ("an end in the future", {"on": 1, "to": -1}, "still ahead", "dropped_to"),
    ("an end before its start", {"on": 1, "to": 2}, "runs backwards", "dropped_to"),
    ("a day before she came", {"on": 61}, "came on 16 April", "dropped_from"),
    ("a day before her birth", {"on": 241}, "was born on", "dropped_from"),
    ("fewer than none", {"live": -1}, "less than none", "live"),
    ("an absurd number", {"live": 4000}, "more than a guppy drops", "live"),
    ("no fry at all", {"live": 0}, "no fry at all", "live"),
]


@pytest.mark.parametrize(("_case", "told", "words", "field"), REFUSED, ids=[row[0] for row in REFUSED])
def test_an_impossible_drop_is_refused(
    session: RoomSession,
    keeper: Actor,
    made: Made,
    _case: str,
    told: dict[str, Any],
    words: str,
    field: str,
) -> None:
    dam = made.dam()
    to = made.days_ago(told["to"]) if "to" in told else None
    with pytest.raises(Refused, match=words) as refusal:
        drop(session, keeper, dam, made.days_ago(told.get("on", 0)), dropped_to=to, live=told.get("live", 20))
    assert refusal.value.field == field


def test_a_male_dam_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    with pytest.raises(Refused, match="is a male"):
        drop(session, keeper, made.sire(), keeper.today)


def test_a_dam_too_young_to_drop_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam(born_on=made.days_ago(20), arrived_on=made.days_ago(20))
    with pytest.raises(Refused, match="too young"):
        drop(session, keeper, dam, keeper.today)


def test_a_drop_after_she_left_is_refused_and_one_before_is_not(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam = made.dam(left_on=made.days_ago(5))
    with pytest.raises(Refused, match="left on 10 June"):
        drop(session, keeper, dam, made.days_ago(4))
    drop(session, keeper, dam, made.days_ago(5))
    assert not waits(session, dam), "no clock runs for a dam that left"


def test_a_drop_soon_after_the_last_needs_a_word(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam()
    drop(session, keeper, dam, made.days_ago(12))
    with pytest.raises(Refused, match="Only 12 days") as refusal:
        drop(session, keeper, dam, keeper.today)
    assert refusal.value.field == "sooner"
    assert drop(session, keeper, dam, keeper.today, sooner=True).code.endswith("-2")


def test_a_least_killifish_drops_every_few_days(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam(made.line("least_killifish"))
    for days in (9, 5, 2):
        drop(session, keeper, dam, made.days_ago(days), live=3)
    assert len(rows(session, Brood)) == 3
    assert open_wait(session, dam).started_on == made.days_ago(2)


def test_two_drops_on_the_same_days_are_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam()
    drop(session, keeper, dam, made.days_ago(4), dropped_to=made.days_ago(2))
    with pytest.raises(Refused, match="Correct that one"):
        drop(session, keeper, dam, made.days_ago(2), sooner=True)


def test_a_reader_cannot_log_a_drop(session: RoomSession, keeper: Actor, made: Made, people: People) -> None:
    dam = made.dam()
    with pytest.raises(Forbidden):
        drop(session, people.reader, dam, keeper.today)


def test_another_fishrooms_dam_is_not_found(
    session: RoomSession, keeper: Actor, made: Made, people: People
) -> None:
    dam = made.dam()
    session.info["fishroom_id"] = people.stranger.fishroom_id
    with pytest.raises(NotFound):
        drop(session, people.stranger, dam, keeper.today)


def test_a_drop_logged_late_splits_the_wait_it_falls_into(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam = made.dam()
    first = drop(session, keeper, dam, made.days_ago(56))
    last = drop(session, keeper, dam, keeper.today)
    between = drop(session, keeper, dam, made.days_ago(28))
    spells = sorted(waits(session, dam), key=lambda spell: spell.started_on)
    assert [(s.after_brood_id, s.brood_id) for s in spells] == [
        (first.id, between.id),
        (between.id, last.id),
        (last.id, None),
    ]


def test_a_drop_thought_missed_is_put_right(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam()
    drop(session, keeper, dam, made.days_ago(40))
    carryings.settle(session, keeper, dam.id, Outcome.MISSED)
    found = drop(session, keeper, dam, made.days_ago(10))
    ended = [spell for spell in waits(session, dam) if spell.ended_on is not None]
    assert [(s.outcome, s.brood_id) for s in ended] == [(Outcome.DROPPED, found.id)]
    wait = open_wait(session, dam)
    assert (wait.started_on, wait.started_until, wait.after_brood_id) == (
        made.days_ago(10),
        made.days_ago(10),
        found.id,
    )


def test_a_drop_before_the_exposure_that_started_the_clock_starts_it_anew(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line(), made.section()
    dam = made.dam(line, section)
    pairings.make_pairing(
        session,
        keeper,
        section_id=section.id,
        dam_ids=[dam.id],
        sire_ids=[made.sire(line).id],
        started_on=made.days_ago(3),
    )
    found = drop(session, keeper, dam, made.days_ago(9))
    wait = open_wait(session, dam)
    assert (wait.basis, wait.started_on, wait.after_brood_id) == (
        Basis.LAST_DROP,
        made.days_ago(9),
        found.id,
    )


def test_a_correction_moves_batch_and_waits_with_it(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam()
    brood = drop(session, keeper, dam, made.days_ago(5), live=20)
    broods.correct_drop(session, keeper, brood.id, dropped_from=made.days_ago(7), live=22, dead=1)
    (batch,) = rows(session, Batch)
    assert (batch.start_count, batch.started_on, batch.born_from) == (22, made.days_ago(7), made.days_ago(7))
    stay = open_stay(session, batch=batch)
    assert stay is not None
    assert stay.from_on == made.days_ago(7)
    assert open_wait(session, dam).started_on == made.days_ago(7)
    undo(session, keeper, rows(session, Act)[-1].id)
    assert (find(session, Brood, brood.id).live, batch.start_count) == (20, 20)


def test_a_correction_that_unbalances_the_book_is_refused(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    brood = drop(session, keeper, made.dam(), made.days_ago(5), live=20)
    (batch,) = rows(session, Batch)
    lose(session, keeper, batch, 15, made.days_ago(2))
    session.commit()
    with pytest.raises(Refused, match="only 10 were alive") as refusal:
        broods.correct_drop(session, keeper, brood.id, dropped_from=made.days_ago(5), live=10)
    assert refusal.value.field == "live"
    session.rollback()
    with pytest.raises(Refused, match="no longer add up"):
        broods.correct_drop(session, keeper, brood.id, dropped_from=made.days_ago(1), live=20)
    session.rollback()
    assert books(session, keeper.fishroom_id, [batch.id])[batch.id].alive == 5


def test_live_fry_are_not_corrected_away(session: RoomSession, keeper: Actor, made: Made) -> None:
    brood = drop(session, keeper, made.dam(), made.days_ago(5), live=20)
    with pytest.raises(Refused, match="take the drop back"):
        broods.correct_drop(session, keeper, brood.id, dropped_from=made.days_ago(5), live=0, dead=20)


def test_fry_found_alive_later_become_a_batch(session: RoomSession, keeper: Actor, made: Made) -> None:
    brood = drop(session, keeper, made.dam(), made.days_ago(5), live=0, dead=3)
    broods.correct_drop(session, keeper, brood.id, dropped_from=made.days_ago(5), live=6, dead=3)
    assert [batch.start_count for batch in rows(session, Batch)] == [6]


def test_a_correction_past_a_neighbour_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    dam = made.dam()
    first = drop(session, keeper, dam, made.days_ago(50))
    drop(session, keeper, dam, made.days_ago(25))
    with pytest.raises(Refused, match="other side"):
        broods.correct_drop(session, keeper, first.id, dropped_from=keeper.today, live=20)


def test_a_goodeids_next_clock_follows_the_corrected_drop(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, section = made.line("redtail_goodeid"), made.section()
    dam = made.dam(line, section)
    made.sire(line, section)
    brood = drop(session, keeper, dam, made.days_ago(5))
    assert open_wait(session, dam).basis is Basis.EXPOSURE
    broods.correct_drop(session, keeper, brood.id, dropped_from=made.days_ago(7), live=20)
    assert open_wait(session, dam).started_on == made.days_ago(7)
