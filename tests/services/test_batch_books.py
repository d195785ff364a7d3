"""Whatever is logged and taken back, in whatever order, the books of a brood's batches add up."""

from collections.abc import Callable, Sequence

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.core.batches import Ledger
from app.core.problems import Problem
from app.queries.books import books
from app.services import batches, rehomings
from app.services.undo import undo
from app.store.actor import Actor
from app.store.batches import Batch, BatchSex
from app.store.fish import Sex
from app.store.journal import Act
from app.store.session import RoomSession, rows
from app.store.stays import Stay
from tests.factories import Made

BORN = 24
Step = tuple[str, int, int, int]
STEPS = st.lists(
    st.tuples(
        st.sampled_from(("count", "loss", "split", "sort", "keep", "rehome", "undo")),
        st.integers(0, 5),  # which batch, or how many acts back
        st.integers(0, 9),  # how many fish
        st.integers(0, 12),  # how many days ago
    ),
    min_size=1,
    max_size=14,
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(STEPS)
def test_no_order_of_acts_breaks_the_books(
    session: RoomSession, keeper: Actor, made: Made, steps: Sequence[Step]
) -> None:
    savepoint = session.begin_nested()
    brood_id = made.batch(number=BORN, age_days=30).id
    try:
        for step in steps:
            _try(session, keeper, made, step)
            _adds_up(session, keeper, brood_id)
    finally:
        savepoint.rollback()
        session.expunge_all()  # what was loaded is gone, and its numbers are given again


def _try(session: RoomSession, keeper: Actor, made: Made, step: Step) -> None:
    """Do one act; what is refused must leave no trace."""
    before = _numbers(session, keeper)
    try:
        with session.begin_nested():
            _act(session, keeper, made, step)
    except Problem as refused:
        assert refused.message  # noqa: PT017 - any act may be refused; what counts is that nothing changed
        session.expunge_all()
        assert _numbers(session, keeper) == before


def _act(session: RoomSession, keeper: Actor, made: Made, step: Step) -> None:
    verb, which, number, ago = step
    if verb == "undo":
        acts = rows(session, Act, Act.undone_at.is_(None), Act.subject.startswith("batch:"))
        if acts:
            undo(session, keeper, acts[-1 - which % len(acts)].id)
        return
    kept = rows(session, Batch)
    batch, on = kept[which % len(kept)], made.days_ago(ago)
    acts_by_verb: dict[str, Callable[[], object]] = {
        "count": lambda: batches.log_count(session, keeper, batch.id, on=on, alive=number),
        "loss": lambda: batches.log_loss(session, keeper, batch.id, on=on, number=number),
        "split": lambda: batches.split(session, keeper, batch.id, on=on, number=number),
        "sort": lambda: batches.sort_sexes(
            session, keeper, batch.id, on=on, females=number // 2, males=number - number // 2
        ),
        "keep": lambda: batches.keep(
            session,
            keeper,
            batch.id,
            on=on,
            sex=Sex.MALE if batch.sex is BatchSex.MALES else Sex.FEMALE,
        ),
        "rehome": lambda: rehomings.rehome(session, keeper, batch.id, on=on, number=number),
    }
    acts_by_verb[verb]()


def _numbers(session: RoomSession, keeper: Actor) -> dict[int, Ledger]:
    ids = [batch.id for batch in rows(session, Batch)]
    return books(session, keeper.fishroom_id, ids)


def _adds_up(session: RoomSession, keeper: Actor, brood_id: int) -> None:
    ledgers = _numbers(session, keeper)
    for book in ledgers.values():
        assert book.started + book.found == (
            book.alive + book.lost + book.rehomed + book.kept + book.split_out
        )
    every = ledgers.values()
    ends = sum(book.alive + book.lost + book.rehomed + book.kept for book in every)
    assert BORN + sum(book.found for book in every) == ends
    assert ledgers[brood_id].started == BORN
    open_stays = {stay.batch_id for stay in rows(session, Stay, Stay.to_on.is_(None))}
    for batch in rows(session, Batch):
        empty = ledgers[batch.id].alive == 0
        assert (batch.closed_on is not None) == empty
        assert (batch.id in open_stays) == (not empty)
        if batch.closed_on is not None:
            assert batch.closed_on <= keeper.today
