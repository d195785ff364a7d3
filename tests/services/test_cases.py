"""Cases: opened with signs, gone on with, closed with an outcome, and all of it taken back."""

from datetime import timedelta

import pytest

from app.services import cases
from app.services.cases import CaseTold, Ending, Subject
from app.services.refusals import NotFound, Refused
from app.services.undo import undo
from app.store.batches import Loss, LossCause
from app.store.cases import Ailing, Case, CaseOutcome, CaseSign
from app.store.fish import Departure, Fish
from app.store.session import rows
from tests.factories import Made


def opened(made: Made, about: Subject | None = None, days: int = 5) -> Case:
    """Return a case of some days ago, of a new dam unless told."""
    about = about or Subject(fish_id=made.dam().id)
    told = CaseTold(made.days_ago(days), suspected="perhaps fungus")
    return cases.open_case(made.session, made.actor, about, told, [Ailing.TUFTS, Ailing.OFF_FOOD])


def close(made: Made, case: Case, outcome: CaseOutcome, gone: int = 0) -> Case:
    return cases.close_case(
        made.session, made.actor, case.id, Ending(made.actor.today, outcome, "Salt and patience", gone)
    )


def take_back(made: Made) -> None:
    undo(made.session, made.actor, made.session.info["act"].id)


def test_a_case_is_called_by_its_signs(made: Made) -> None:
    case = opened(made)
    assert case.title == "Cotton-like tufts and off food"
    assert {sign.kind for sign in rows(made.session, CaseSign)} == {Ailing.TUFTS, Ailing.OFF_FOOD}
    assert made.session.info["act"].subject == f"case:{case.id}"


def test_a_case_needs_a_sign_and_one_subject(made: Made) -> None:
    told, dam = CaseTold(made.actor.today), made.dam()
    with pytest.raises(Refused, match="at least one sign"):
        cases.open_case(made.session, made.actor, Subject(fish_id=dam.id), told, [])
    with pytest.raises(Refused, match="one fish, one batch or one tank"):
        cases.open_case(made.session, made.actor, Subject(), told, [Ailing.THIN])
    both = Subject(fish_id=dam.id, tank_id=made.tank().id)
    with pytest.raises(Refused, match="one fish, one batch or one tank"):
        cases.open_case(made.session, made.actor, both, told, [Ailing.THIN])


def test_a_case_begins_neither_ahead_nor_before_the_fish_came(made: Made) -> None:
    dam = Subject(fish_id=made.dam(arrived_on=made.days_ago(3)).id)
    with pytest.raises(Refused, match="still ahead"):
        opened(made, dam, days=-1)
    with pytest.raises(Refused, match="is here since 12 June"):
        opened(made, dam, days=4)


def test_nobody_opens_a_case_of_a_fish_that_is_not_here(made: Made) -> None:
    with pytest.raises(NotFound):
        opened(made, Subject(fish_id=999))


def test_a_sign_goes_and_may_come_back(made: Made) -> None:
    case = opened(made)
    tufts = rows(made.session, CaseSign, CaseSign.kind == Ailing.TUFTS)[0]
    with pytest.raises(Refused, match="not gone yet"):
        cases.log_sign(made.session, made.actor, case.id, kind=Ailing.TUFTS, seen_on=made.actor.today)
    cases.sign_gone(made.session, made.actor, tufts.id, on=made.days_ago(1))
    cases.log_sign(made.session, made.actor, case.id, kind=Ailing.TUFTS, seen_on=made.actor.today)
    assert len(rows(made.session, CaseSign, CaseSign.kind == Ailing.TUFTS)) == 2


def test_a_sign_goes_after_it_came_and_once(made: Made) -> None:
    opened(made)
    sign = rows(made.session, CaseSign)[0]
    with pytest.raises(Refused, match="that day or later"):
        cases.sign_gone(made.session, made.actor, sign.id, on=made.days_ago(6))
    cases.sign_gone(made.session, made.actor, sign.id, on=made.actor.today)
    with pytest.raises(Refused, match="gone since"):
        cases.sign_gone(made.session, made.actor, sign.id, on=made.actor.today)


def test_recovery_lets_every_sign_be_gone(made: Made) -> None:
    case = close(made, opened(made), CaseOutcome.RECOVERED)
    assert (case.outcome, case.what_helped) == (CaseOutcome.RECOVERED, "Salt and patience")
    assert {sign.gone_on for sign in rows(made.session, CaseSign)} == {made.actor.today}


def test_a_closed_case_is_gone_on_with_only_after_it_is_opened_again(made: Made) -> None:
    case = close(made, opened(made), CaseOutcome.UNCLEAR)
    with pytest.raises(Refused, match="closed on"):
        cases.log_sign(made.session, made.actor, case.id, kind=Ailing.PALE, seen_on=made.actor.today)
    cases.reopen(made.session, made.actor, case.id)
    cases.log_sign(made.session, made.actor, case.id, kind=Ailing.PALE, seen_on=made.actor.today)
    with pytest.raises(Refused, match="is open"):
        cases.reopen(made.session, made.actor, case.id)


def test_a_fish_that_died_leaves_with_its_case_and_is_back_when_that_is_taken_back(made: Made) -> None:
    case = opened(made)
    close(made, case, CaseOutcome.DIED, gone=1)
    dam = made.session.get_one(Fish, case.fish_id)
    assert (dam.left_on, dam.departure) == (made.actor.today, Departure.DIED)
    take_back(made)
    assert (dam.left_on, case.closed_on) == (None, None)


def test_a_fish_stays_in_the_books_when_its_death_was_logged_already(made: Made) -> None:
    case = close(made, opened(made), CaseOutcome.DIED, gone=0)
    assert made.session.get_one(Fish, case.fish_id).left_on is None


def test_those_of_a_batch_that_were_killed_are_in_its_book(made: Made) -> None:
    batch = made.batch(number=20)
    case = opened(made, Subject(batch_id=batch.id))
    close(made, case, CaseOutcome.KILLED, gone=3)
    (loss,) = rows(made.session, Loss)
    assert (loss.number, loss.cause) == (3, LossCause.CULLED)
    take_back(made)
    assert not rows(made.session, Loss)


def test_a_batch_loses_no_more_than_it_has(made: Made) -> None:
    case = opened(made, Subject(batch_id=made.batch(number=20).id))
    with pytest.raises(Refused) as caught:
        close(made, case, CaseOutcome.DIED, gone=21)
    assert caught.value.field == "gone"


def test_nobody_dies_of_a_recovery_nor_does_a_tank(made: Made) -> None:
    with pytest.raises(Refused, match="another outcome"):
        close(made, opened(made), CaseOutcome.RECOVERED, gone=1)
    with pytest.raises(Refused, match="a tank cannot die"):
        close(made, opened(made, Subject(tank_id=made.tank().id)), CaseOutcome.DIED, gone=1)


def test_a_case_closes_no_sooner_than_it_opened(made: Made) -> None:
    case = opened(made)
    early = Ending(case.opened_on - timedelta(days=1), CaseOutcome.UNCLEAR)
    with pytest.raises(Refused, match="that day or later"):
        cases.close_case(made.session, made.actor, case.id, early)


def test_what_is_said_of_a_case_can_be_corrected(made: Made) -> None:
    case = opened(made)
    told = CaseTold(made.days_ago(6), "Tuft on the tail", "bruise from the net", "Seen at feeding.")
    cases.edit_case(made.session, made.actor, case.id, told)
    assert (case.title, case.suspected) == ("Tuft on the tail", "bruise from the net")
    take_back(made)
    assert case.title == "Cotton-like tufts and off food"


def test_a_title_that_does_not_fit_is_refused(made: Made) -> None:
    with pytest.raises(Refused, match="at most 120"):
        cases.edit_case(made.session, made.actor, opened(made).id, CaseTold(made.days_ago(5), "x" * 121))
