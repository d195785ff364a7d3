"""Fishrooms, their people, and the ways in."""

import hashlib
import secrets
from datetime import datetime, timedelta

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerifyMismatchError
from sqlalchemy import select, update
from sqlalchemy.orm import Session

from app.core.quantities import Units
from app.services.refusals import Refused
from app.store.fishrooms import Fishroom
from app.store.users import Membership, Role, SigninLink, User

# OWASP Password Storage Cheat Sheet: argon2id, 19 MiB, two passes, one lane is among the minimum sets.
HASHER = PasswordHasher(time_cost=2, memory_cost=19_456, parallelism=1)
NOBODY = HASHER.hash(secrets.token_urlsafe(16))
SHORTEST_PASSWORD = 10  # NIST SP 800-63B asks for 8 at least and no composition rules
LINK_LIFE = timedelta(hours=24)


def add_fishroom(
    session: Session, name: str, now: datetime, *, zone: str = "UTC", units: Units = Units.METRIC
) -> Fishroom:
    """Open a fishroom."""
    name = name.strip()
    if not name:
        raise Refused("Give the fishroom a name.", "fishroom")
    room = Fishroom(name=name[:80], time_zone=zone, units=units, set_point_c=25.0, created_at=now)
    session.add(room)
    session.flush()
    return room


def add_user(session: Session, email: str, password: str, now: datetime) -> User:
    """Make an account."""
    address = normal_email(email)
    if session.scalar(select(User).where(User.email == address)) is not None:
        raise Refused(f"{address} has an account already.", "email")
    user = User(email=address, password_hash=_hash(password), created_at=now)
    session.add(user)
    session.flush()
    return user


def add_member(session: Session, room: Fishroom, user: User, role: Role) -> Membership:
    """Give ``user`` a role in ``room``, or change it."""
    member = session.scalar(
        select(Membership).where(Membership.fishroom_id == room.id, Membership.user_id == user.id)
    )
    if member is None:
        member = Membership(fishroom_id=room.id, user_id=user.id, role=role)
        session.add(member)
    member.role = role
    session.flush()
    return member


def normal_email(text: str) -> str:
    """Return an address in the one spelling we keep."""
    address = text.strip().lower()
    name, at, host = address.partition("@")
    if not (name and at and host) or " " in address or len(address) > 254:
        raise Refused(f"{text.strip() or 'nothing'!r} is not an e-mail address; write name@host.", "email")
    return address


def _hash(password: str) -> str:
    if len(password) < SHORTEST_PASSWORD:
        raise Refused(f"The password needs at least {SHORTEST_PASSWORD} characters.", "password")
    return HASHER.hash(password)


def sign_in(session: Session, email: str, password: str) -> Membership | None:
    """Return the first membership of whoever owns ``email`` and knows ``password``."""
    user = session.scalar(select(User).where(User.email == email.strip().lower()))
    try:
        HASHER.verify(NOBODY if user is None else user.password_hash, password)
    except (VerifyMismatchError, InvalidHashError):
        return None
    return None if user is None else first_membership(session, user.id)


def first_membership(session: Session, user_id: int) -> Membership | None:
    """Return the oldest membership of a user."""
    statement = select(Membership).where(Membership.user_id == user_id).order_by(Membership.id)
    return session.scalars(statement).first()


def password_mark(password_hash: str) -> str:
    """Return what a session keeps of a password, so that it ends when the password changes."""
    return digest(password_hash)[:16]


def make_link(session: Session, user: User, now: datetime) -> str:
    """Return a token that signs ``user`` in once within a day; only its digest is kept."""
    token = secrets.token_urlsafe(32)
    session.add(SigninLink(user_id=user.id, token_hash=digest(token), expires_at=now + LINK_LIFE))
    session.flush()
    return token


def use_link(session: Session, token: str, now: datetime) -> Membership | None:
    """Spend a sign-in link."""
    spent = session.execute(  # in one statement: of two who come at once, one is let in
        update(SigninLink)
        .where(
            SigninLink.token_hash == digest(token), SigninLink.used_at.is_(None), SigninLink.expires_at >= now
        )
        .values(used_at=now)
        .returning(SigninLink.user_id)
    ).scalar_one_or_none()
    return None if spent is None else first_membership(session, spent)


def digest(token: str) -> str:
    """Return what is kept of a secret token."""
    return hashlib.sha256(token.encode()).hexdigest()
