"""How a fishroom measures and what it is called, who belongs to it, and a member's own password."""

from dataclasses import replace
from functools import lru_cache
from typing import cast
from zoneinfo import available_timezones

from argon2.exceptions import InvalidHashError, VerifyMismatchError
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.core.quantities import Units
from app.core.quantities.parsing import COLDEST_C, HOTTEST_C
from app.core.wording import many
from app.services import accounts
from app.services.journal import Entry
from app.services.reading_days import settle_all
from app.services.refusals import NotFound, Refused
from app.store.actor import Actor
from app.store.base import Owned
from app.store.fishrooms import Fishroom
from app.store.users import Membership, Role, User

LONGEST_NAME = 80
LONGEST_BOX = 120
LEAST_ROOM, MOST_ROOM = 0.25, 4.0
LONGEST_TURN_ROUND = 90
LONGEST_MONEY = 3


@lru_cache(maxsize=1)
def zones() -> frozenset[str]:
    """Return the names of all time zones that a place has, and UTC."""
    placed = {name for name in available_timezones() if "/" in name and not name.startswith("Etc/")}
    return frozenset(placed | {"UTC"})


def edit_fishroom(
    session: Session, actor: Actor, *, name: str, units: Units, time_zone: str, set_point_c: float
) -> Fishroom:
    """Change what the fishroom is called and how it measures."""
    actor.must_manage()
    name = name.strip()
    if not name:
        raise Refused("Give the fishroom a name.", "name")
    if len(name) > LONGEST_NAME:
        raise Refused(f"A fishroom's name has at most {LONGEST_NAME} letters.", "name")
    if time_zone not in zones():
        raise Refused(f"“{time_zone}” is not a time zone known here. Choose one of the list.", "time_zone")
    if not COLDEST_C <= set_point_c <= HOTTEST_C:
        raise Refused(f"{set_point_c:g} °C cannot be a fishroom; give 18 to 31 °C.", "set_point_c")
    room = session.get_one(Fishroom, actor.fishroom_id)
    shifted = room.time_zone != time_zone
    entry = Entry(session, actor, "edit fishroom")
    # A fishroom is not owned by one; the journal needs no more than its number.
    entry.change(cast("Owned", room), name=name, units=units, time_zone=time_zone, set_point_c=set_point_c)
    entry.tell("fishroom", "Settings of the fishroom changed")
    if shifted:
        settle_all(session, replace(actor, zone=time_zone))
    return room


def set_planning(session: Session, actor: Actor, *, turn_round_days: int, money: str) -> Fishroom:
    """Change how long tanks are turned round between projects, and what money is counted in."""
    actor.must_manage()
    if not 0 <= turn_round_days <= LONGEST_TURN_ROUND:
        raise Refused(f"{turn_round_days} days cannot be; give 0 to {LONGEST_TURN_ROUND}.", "turn_round_days")
    unit = money.strip()
    if len(unit) > LONGEST_MONEY:
        raise Refused("At most three letters or a sign, such as EUR or £.", "money")
    room = session.get_one(Fishroom, actor.fishroom_id)
    entry = Entry(session, actor, "edit fishroom")
    entry.change(cast("Owned", room), turn_round_days=turn_round_days, money=unit)
    entry.tell("fishroom", f"Planning: {many(turn_round_days, 'day')} to turn a tank round")
    return room


def set_box_and_room(session: Session, actor: Actor, *, box_days: int, room_share: float) -> Fishroom:
    """Set how long a batch may stay in a fry box, and how much of the usual room each fish is given."""
    actor.must_manage()
    if not 1 <= box_days <= LONGEST_BOX:
        raise Refused(f"{box_days} days in a fry box; give 1 to {LONGEST_BOX}.", "box_days")
    if not LEAST_ROOM <= room_share <= MOST_ROOM:
        raise Refused(
            f"{room_share * 100:g} % of the usual room; give {LEAST_ROOM * 100:g} to {MOST_ROOM * 100:g} %.",
            "room",
        )
    room = session.get_one(Fishroom, actor.fishroom_id)
    entry = Entry(session, actor, "edit fishroom")
    entry.change(cast("Owned", room), box_days=box_days, room_share=room_share)
    entry.tell(
        "fishroom",
        f"Fry box for {many(box_days, 'day')}, {room_share * 100:g} % of the usual room for each fish",
    )
    return room


def admit(session: Session, actor: Actor, *, email: str, role: Role) -> Membership:
    """Let somebody with an account in, in a role; a member's role changes.

    Who may come in is no part of the records: it is not in the journal, so that taking back an old
    act never lets anybody in or out.
    """
    actor.must_manage()
    address = accounts.normal_email(email)
    user = session.scalar(select(User).where(User.email == address))
    if user is None:
        raise Refused(
            f"{address} has no account here yet. Whoever runs the server adds one with "
            "“broodwater user add”; then try again.",
            "email",
        )
    room = session.get_one(Fishroom, actor.fishroom_id)
    if role is not Role.KEEPER:
        _leave_a_keeper(session, actor, user.id)
    return accounts.add_member(session, room, user, role)


def dismiss(session: Session, actor: Actor, *, email: str) -> User:
    """Let a member go; the account itself stays."""
    actor.must_manage()
    statement = (
        select(Membership, User)
        .join(User, User.id == Membership.user_id)
        .where(Membership.fishroom_id == actor.fishroom_id, User.email == email.strip().lower())
    )
    found = session.execute(statement).one_or_none()
    if found is None:
        raise NotFound(f"no member {email} here")
    member, user = found
    _leave_a_keeper(session, actor, user.id)
    session.delete(member)
    session.flush()
    return user


def _leave_a_keeper(session: Session, actor: Actor, user_id: int) -> None:
    session.get_one(Fishroom, actor.fishroom_id, with_for_update=True)  # two keepers leaving at once
    others = session.scalar(
        select(func.count())
        .select_from(Membership)
        .where(
            Membership.fishroom_id == actor.fishroom_id,
            Membership.role == Role.KEEPER,
            Membership.user_id != user_id,
        )
    )
    if not others:
        raise Refused(
            "That is the only keeper. Make somebody else a keeper first; a fishroom never goes without.",
            "role",
        )


def change_password(session: Session, actor: Actor, *, old: str, new: str) -> User:
    """Change a member's own password, once the old one is known."""
    user = session.get_one(User, actor.user_id)
    try:
        accounts.HASHER.verify(user.password_hash, old)
    except (VerifyMismatchError, InvalidHashError) as error:
        raise Refused("That is not your password.", "old") from error
    if len(new) < accounts.SHORTEST_PASSWORD:
        raise Refused(f"The password needs at least {accounts.SHORTEST_PASSWORD} characters.", "new")
    user.password_hash = accounts.HASHER.hash(new)
    session.flush()
    return user
