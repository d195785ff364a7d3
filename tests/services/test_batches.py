"""Counting, measuring and parting batches."""

from datetime import timedelta

import pytest

from app.queries.books import books
from app.services import batches, broods, rehomings, stays
from app.services.refusals import Refused
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.batches import Batch, BatchSex, Count, Keeping, LengthKind, LossCause
from app.store.carryings import Carrying
from app.store.fish import Fish, Origin, Precision, Sex, WithMales
from app.store.journal import Act
from app.store.session import RoomSession, find, rows
from app.store.stays import Stay
from tests.conftest import People
from tests.factories import Made


def alive(session: RoomSession, batch: Batch) -> int:
    return books(session, batch.fishroom_id, [batch.id])[batch.id].alive


def last_act(session: RoomSession) -> int:
    return rows(session, Act)[-1].id


def stand(session: RoomSession, batch: Batch) -> Stay | None:
    return stays.open_stay(session, batch=batch)


def test_entries_of_one_moment_count_in_the_order_they_were_logged(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=20)
    batches.log_loss(session, keeper, batch.id, on=keeper.today, number=2)
    batches.log_count(session, keeper, batch.id, on=keeper.today, alive=18)
    batches.log_loss(session, keeper, batch.id, on=keeper.today, number=1, cause=LossCause.EATEN)
    book = books(session, keeper.fishroom_id, [batch.id])[batch.id]
    assert (book.alive, book.lost, book.unexplained) == (17, 3, 0)


def test_more_lost_than_alive_is_refused_with_what_was_counted(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=20)
    batches.log_count(session, keeper, batch.id, on=made.days_ago(3), alive=12)
    with pytest.raises(Refused, match=r"only 12 were alive.*Last counted: 12 on 12 June") as caught:
        batches.log_loss(session, keeper, batch.id, on=keeper.today, number=13)
    assert caught.value.field == "number"


def test_an_earlier_entry_that_breaks_a_later_one_is_refused(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=10)
    rehomings.rehome(session, keeper, batch.id, on=made.days_ago(1), number=8)
    with pytest.raises(Refused, match="only 7 were alive on 14 June"):
        batches.log_loss(session, keeper, batch.id, on=made.days_ago(5), number=3)


def test_days_ahead_and_days_before_the_batch_are_refused(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(age_days=10)
    with pytest.raises(Refused, match="still ahead"):
        batches.log_count(session, keeper, batch.id, on=keeper.today + timedelta(days=1), alive=3)
    with pytest.raises(Refused, match="was begun on 5 June"):
        batches.log_loss(session, keeper, batch.id, on=made.days_ago(11), number=1)


def test_more_sexed_than_alive_is_refused(session: RoomSession, keeper: Actor, made: Made) -> None:
    batch = made.batch(number=20)
    with pytest.raises(Refused, match="make 21, but 20") as caught:
        batches.log_count(session, keeper, batch.id, on=keeper.today, alive=20, females=11, males=10)
    assert caught.value.field == "females"


def test_a_batch_closes_with_its_last_fish_and_opens_with_what_is_taken_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=5)
    batches.log_loss(session, keeper, batch.id, on=made.days_ago(2), number=5)
    assert batch.closed_on == made.days_ago(2)
    assert stand(session, batch) is None
    undo(session, keeper, last_act(session))
    assert batch.closed_on is None
    assert stand(session, batch) is not None


def test_fish_found_in_a_closed_batch_open_it_where_it_stood(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=5)
    batches.log_count(session, keeper, batch.id, on=made.days_ago(2), alive=0)
    assert batch.closed_on is not None
    batches.log_count(session, keeper, batch.id, on=keeper.today, alive=1)
    assert batch.closed_on is None
    assert stand(session, batch) is not None


def test_taking_back_an_older_loss_opens_a_batch_that_then_still_has_fish(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=10)
    batches.log_loss(session, keeper, batch.id, on=made.days_ago(4), number=6)
    older = last_act(session)
    batches.log_loss(session, keeper, batch.id, on=made.days_ago(2), number=4)
    assert batch.closed_on is not None
    undo(session, keeper, older)
    assert alive(session, batch) == 6
    assert batch.closed_on is None
    assert stand(session, batch) is not None


def test_taking_back_a_count_that_a_later_entry_rests_on_is_refused(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=10)
    batches.log_count(session, keeper, batch.id, on=made.days_ago(4), alive=14)
    found = last_act(session)
    batches.log_loss(session, keeper, batch.id, on=made.days_ago(2), number=12)
    with pytest.raises(Refused, match="no longer adds up: only 10 were alive"):
        undo(session, keeper, found)
    assert alive(session, batch) == 2
    assert rows(session, Count), "the count still stands"


def test_lengths_are_kept_one_by_one_and_as_they_were_measured(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch()
    check = batches.log_lengths(
        session,
        keeper,
        batch.id,
        on=keeper.today,
        lengths_mm=(12.0, 13.0, 14.0),
        kind=LengthKind.STANDARD,
    )
    assert check.n == 3
    assert check.mean_mm == pytest.approx(13.0)
    assert check.sd_mm == pytest.approx(1.0)
    assert check.lengths_mm == [12.0, 13.0, 14.0]
    assert check.kind is LengthKind.STANDARD


@pytest.mark.parametrize(
    ("told", "said", "field"),
    [
        ({"lengths_mm": (12.0, 130.0)}, "longer than any guppy", "lengths"),
        ({"lengths_mm": (1.2,)}, "if that was cm, give 12", "lengths"),
        ({"lengths_mm": (12.0,) * 21}, "never held more than 20 fish", "lengths"),
        ({"n": 4, "mean_mm": 400.0}, "longer than any", "mean_mm"),
        ({"n": 0, "mean_mm": 12.0}, "holds no fish", "mean_mm"),
        ({"n": 4, "mean_mm": 12.0, "sd_mm": -1.0}, "standard deviation", "sd_mm"),
        ({}, "Type the lengths", "lengths"),
        ({"lengths_mm": (12.0,), "n": 3, "mean_mm": 12.0}, "one of the two", "lengths"),
    ],
)
def test_impossible_lengths_are_refused_on_their_field(
    session: RoomSession, keeper: Actor, made: Made, told: dict[str, float], said: str, field: str
) -> None:
    batch = made.batch()
    with pytest.raises(Refused, match=said) as caught:
        batches.log_lengths(session, keeper, batch.id, on=keeper.today, **told)  # type: ignore[arg-type]
    assert caught.value.field == field


def test_a_split_moves_fish_into_a_batch_of_their_own(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch, other = made.batch(number=20), made.section()
    child = batches.split(session, keeper, batch.id, on=keeper.today, number=8, section_id=other.id)
    assert (child.parent_id, child.code, child.born_from) == (batch.id, f"{batch.code}a", batch.born_from)
    assert (alive(session, batch), alive(session, child)) == (12, 8)
    there = stand(session, child)
    assert there is not None
    assert there.section_id == other.id
    with pytest.raises(Refused, match="only 12 were alive"):
        batches.split(session, keeper, batch.id, on=keeper.today, number=13)


def test_sorting_puts_females_and_males_apart_and_leaves_the_untold(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch, hers, his = made.batch(number=20), made.section(), made.section()
    females, males = batches.sort_sexes(
        session,
        keeper,
        batch.id,
        on=keeper.today,
        females=9,
        males=8,
        females_section_id=hers.id,
        males_section_id=his.id,
    )
    assert females is not None
    assert males is not None
    assert (females.sex, males.sex, batch.sex) == (BatchSex.FEMALES, BatchSex.MALES, BatchSex.MIXED)
    assert (females.code, males.code) == (f"{batch.code}F", f"{batch.code}M")
    assert [alive(session, each) for each in (batch, females, males)] == [3, 9, 8]
    sexed = rows(session, Count, Count.batch_id == batch.id)[-1]
    assert (sexed.alive, sexed.females, sexed.males) == (20, 9, 8)
    undo(session, keeper, last_act(session))
    assert alive(session, batch) == 20
    assert len(rows(session, Batch)) == 1


def test_a_batch_sorted_to_the_last_fish_closes(session: RoomSession, keeper: Actor, made: Made) -> None:
    batch = made.batch(number=4)
    batches.sort_sexes(session, keeper, batch.id, on=keeper.today, females=4, males=0)
    assert batch.closed_on == keeper.today
    assert stand(session, batch) is None


def test_a_split_that_was_counted_since_is_not_taken_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(number=20)
    child = batches.split(session, keeper, batch.id, on=keeper.today, number=8)
    act = last_act(session)
    batches.log_count(session, keeper, child.id, on=keeper.today, alive=8)
    with pytest.raises(Refused, match="Something logged later rests on this"):
        undo(session, keeper, act)


def test_a_kept_fry_knows_its_parents_and_where_it_stands(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam, sire = _pair(made)
    brood = broods.log_drop(session, keeper, dam_id=dam.id, dropped_from=made.days_ago(20), live=15)
    batch = rows(session, Batch, Batch.brood_id == brood.id)[0]
    fish = batches.keep(session, keeper, batch.id, on=keeper.today, sex=Sex.FEMALE)
    assert (fish.dam_id, fish.sire_id) == (dam.id, sire.id)
    assert (fish.origin, fish.born_on, fish.born_precision) == (
        Origin.HOMEBRED,
        made.days_ago(20),
        Precision.DAY,
    )
    assert fish.with_males is WithMales.NO
    assert stays.open_stay(session, fish=fish) is not None
    assert alive(session, batch) == 14
    assert [row.fish_id for row in rows(session, Keeping)] == [fish.id]


def _pair(made: Made) -> tuple[Fish, Fish]:
    from app.services import pairings  # noqa: PLC0415 - only this test pairs

    line, section = made.line("guppy"), made.section()
    dam, sire = made.dam(line), made.sire(line)
    pairings.make_pairing(
        made.session,
        made.actor,
        sire_ids=[sire.id],
        dam_ids=[dam.id],
        section_id=section.id,
        started_on=made.days_ago(50),
    )
    return dam, sire


def test_a_female_kept_late_from_among_her_brothers_may_carry(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    batch = made.batch(made.line("guppy"), age_days=60)
    fish = batches.keep(session, keeper, batch.id, on=keeper.today, sex=Sex.FEMALE, code="Ruby")
    assert fish.with_males is WithMales.UNKNOWN
    assert rows(session, Carrying, Carrying.dam_id == fish.id)


def test_no_male_comes_out_of_a_batch_of_females(session: RoomSession, keeper: Actor, made: Made) -> None:
    batch = made.batch(number=20)
    females = batches.split(session, keeper, batch.id, on=keeper.today, number=8, sex=BatchSex.FEMALES)
    with pytest.raises(Refused, match="batch of females"):
        batches.keep(session, keeper, females.id, on=keeper.today, sex=Sex.MALE)
    with pytest.raises(Refused, match="Split the 2 males off"):
        batches.log_count(session, keeper, females.id, on=keeper.today, alive=8, females=6, males=2)


def test_bought_juveniles_have_a_guessed_birth(session: RoomSession, keeper: Actor, made: Made) -> None:
    batch = batches.add_juveniles(
        session,
        keeper,
        line_id=made.line("guppy").id,
        code="Fair 1",
        number=6,
        age_days=56,
        on=keeper.today,
        section_id=made.section().id,
        source="club fair",
    )
    assert (batch.born_from, batch.born_to) == (made.days_ago(70), made.days_ago(42))
    assert alive(session, batch) == 6
    with pytest.raises(Refused, match="There is a batch fair 1 already"):
        batches.add_juveniles(
            session,
            keeper,
            line_id=batch.line_id,
            code="fair 1",
            number=6,
            age_days=56,
            on=keeper.today,
            section_id=made.section().id,
        )


def test_a_batch_without_fish_does_not_move(session: RoomSession, keeper: Actor, made: Made) -> None:
    batch, other = made.batch(number=3), made.section()
    batches.log_loss(session, keeper, batch.id, on=keeper.today, number=3)
    with pytest.raises(Refused, match="no fish since"):
        batches.move(session, keeper, batch.id, section_id=other.id, on=keeper.today)


def test_readers_log_nothing(session: RoomSession, keeper: Actor, made: Made, people: People) -> None:
    batch = made.batch()
    with pytest.raises(Forbidden):
        batches.log_count(session, people.reader, batch.id, on=keeper.today, alive=3)
    assert find(session, Batch, batch.id).closed_on is None
