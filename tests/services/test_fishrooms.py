"""The fishroom's measures, its members, and one's own password."""

import pytest
from sqlalchemy import select

from app.core.quantities import Units
from app.services import accounts, fishrooms
from app.services.refusals import NotFound, Refused
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.fishrooms import Fishroom
from app.store.journal import Act
from app.store.session import RoomSession, rows
from app.store.users import Membership, Role, User
from tests.conftest import PASSWORD, People


def members(session: RoomSession, actor: Actor) -> dict[str, Role]:
    statement = (
        select(User.email, Membership.role)
        .join(Membership, Membership.user_id == User.id)
        .where(Membership.fishroom_id == actor.fishroom_id)
    )
    return {email: role for email, role in session.execute(statement)}  # noqa: C416 - rows are typed so


def edited(session: RoomSession, actor: Actor, **values: object) -> Fishroom:
    given = {"name": "Cellar", "units": Units.US, "time_zone": "America/Chicago", "set_point_c": 24.0}
    return fishrooms.edit_fishroom(session, actor, **{**given, **values})  # type: ignore[arg-type]


def test_the_measures_change_and_are_taken_back(session: RoomSession, keeper: Actor) -> None:
    room = edited(session, keeper)
    assert (room.units, room.time_zone, room.set_point_c) == (Units.US, "America/Chicago", 24.0)
    undo(session, keeper, rows(session, Act)[-1].id)
    assert (room.units, room.time_zone, room.set_point_c) == (Units.METRIC, "Europe/Berlin", 25.0)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", " "),
        ("name", "x" * 81),
        ("time_zone", "Europe/Atlantis"),
        ("time_zone", "../etc/passwd"),
        ("set_point_c", 77.0),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(
    session: RoomSession, keeper: Actor, field: str, value: object
) -> None:
    with pytest.raises(Refused) as refusal:
        edited(session, keeper, **{field: value})
    assert refusal.value.field == field


def test_only_the_keeper_changes_the_fishroom(session: RoomSession, keeper: Actor, people: People) -> None:
    with pytest.raises(Forbidden):
        edited(session, people.helper)
    with pytest.raises(Forbidden):
        fishrooms.admit(session, people.helper, email="helper@fish.example", role=Role.KEEPER)


def test_somebody_with_an_account_is_let_in(session: RoomSession, keeper: Actor) -> None:
    fishrooms.admit(session, keeper, email=" Stranger@fish.example ", role=Role.READER)
    assert members(session, keeper)["stranger@fish.example"] is Role.READER


def test_somebody_without_an_account_is_told_how_to_get_one(session: RoomSession, keeper: Actor) -> None:
    with pytest.raises(Refused, match="has no account") as refusal:
        fishrooms.admit(session, keeper, email="nobody@fish.example", role=Role.READER)
    assert refusal.value.field == "email"


def test_a_role_changes_but_the_last_keeper_stays_one(session: RoomSession, keeper: Actor) -> None:
    with pytest.raises(Refused, match="only keeper"):
        fishrooms.admit(session, keeper, email="keeper@fish.example", role=Role.HELPER)
    fishrooms.admit(session, keeper, email="helper@fish.example", role=Role.KEEPER)
    fishrooms.admit(session, keeper, email="keeper@fish.example", role=Role.HELPER)
    assert members(session, keeper)["keeper@fish.example"] is Role.HELPER


def test_a_member_is_let_go_but_never_the_last_keeper(session: RoomSession, keeper: Actor) -> None:
    fishrooms.dismiss(session, keeper, email="reader@fish.example")
    assert "reader@fish.example" not in members(session, keeper)
    with pytest.raises(Refused, match="only keeper"):
        fishrooms.dismiss(session, keeper, email="keeper@fish.example")


def test_a_member_of_another_fishroom_is_not_found(
    session: RoomSession, keeper: Actor, people: People
) -> None:
    with pytest.raises(NotFound):
        fishrooms.dismiss(session, keeper, email="stranger@fish.example")
    assert members(session, people.stranger) == {"stranger@fish.example": Role.KEEPER}


def test_letting_people_in_is_not_in_the_journal(session: RoomSession, keeper: Actor) -> None:
    before = len(rows(session, Act))
    fishrooms.admit(session, keeper, email="stranger@fish.example", role=Role.READER)
    assert len(rows(session, Act)) == before


def test_a_password_changes_once_the_old_one_is_known(session: RoomSession, people: People) -> None:
    new = "a much longer password"
    with pytest.raises(Refused, match="not your password"):
        fishrooms.change_password(session, people.reader, old="a guess or two", new=new)
    with pytest.raises(Refused, match="at least 10"):
        fishrooms.change_password(session, people.reader, old=PASSWORD, new="short")
    fishrooms.change_password(session, people.reader, old=PASSWORD, new=new)
    assert accounts.sign_in(session, "reader@fish.example", PASSWORD) is None
    assert accounts.sign_in(session, "reader@fish.example", new) is not None


def test_zones_are_those_of_places() -> None:
    assert {"UTC", "Europe/Berlin", "America/Argentina/Ushuaia"} <= fishrooms.zones()
    assert "Etc/GMT+5" not in fishrooms.zones()
