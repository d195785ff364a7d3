"""The settings page: how the fishroom measures, who belongs to it, and where else the member belongs."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.core.quantities import Units
from app.store.actor import Actor
from app.store.fishrooms import Fishroom
from app.store.users import Membership, Role, User

UNIT_WORDS = {
    Units.METRIC: "Metric: litres, millimetres, °C",
    Units.US: "US: gallons, inches, °F",
    Units.IMPERIAL: "Imperial: imperial gallons, inches, °C",
}
ROLE_WORDS = {
    Role.KEEPER: "does everything",
    Role.HELPER: "looks and logs, cannot set up or take back what others logged",
    Role.READER: "looks only",
}


@dataclass(frozen=True, slots=True)
class MemberShown:
    """One member; ``me`` for the one who asks."""

    email: str
    role: str
    words: str
    me: bool


@dataclass(frozen=True, slots=True)
class RoomShown:
    """Another fishroom of the member."""

    id: int
    name: str
    role: str


@dataclass(frozen=True, slots=True)
class SettingsPage:
    """Everything that can be set."""

    name: str
    units: str
    units_words: str
    time_zone: str
    clock: str
    set_point_c: float
    members: tuple[MemberShown, ...]
    elsewhere: tuple[RoomShown, ...]


def settings_page(session: Session, actor: Actor) -> SettingsPage:
    """Read the settings in a fixed number of statements."""
    room = session.get_one(Fishroom, actor.fishroom_id)
    members = session.execute(
        select(Membership.role, User.id, User.email)
        .join(User, User.id == Membership.user_id)
        .where(Membership.fishroom_id == room.id)
        .order_by(Membership.id)
    )
    elsewhere = session.execute(
        select(Fishroom.id, Fishroom.name, Membership.role)
        .join(Membership, Membership.fishroom_id == Fishroom.id)
        .where(Membership.user_id == actor.user_id, Fishroom.id != room.id)
        .order_by(Fishroom.name, Fishroom.id)
    )
    return SettingsPage(
        room.name,
        room.units.value,
        UNIT_WORDS[room.units],
        room.time_zone,
        f"{actor.now.astimezone(ZoneInfo(room.time_zone)):%H:%M}",
        room.set_point_c,
        tuple(
            MemberShown(email, role.value, ROLE_WORDS[role], user_id == actor.user_id)
            for role, user_id, email in members
        ),
        tuple(RoomShown(room_id, name, role.value) for room_id, name, role in elsewhere),
    )
