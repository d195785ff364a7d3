"""Who may sign in, and into which fishroom in which role."""

from datetime import datetime
from enum import StrEnum

from sqlalchemy import ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, words


class Role(StrEnum):
    """What a member may do: everything; log; or look."""

    KEEPER = "keeper"
    HELPER = "helper"
    READER = "reader"


class User(Base):
    """A person with an e-mail address and a password."""

    __tablename__ = "user_account"

    id: Mapped[int] = mapped_column(primary_key=True)
    email: Mapped[str] = mapped_column(String(254), unique=True)
    password_hash: Mapped[str] = mapped_column(String(255))
    created_at: Mapped[datetime]


class Membership(Base):
    """A user's role in one fishroom."""

    __tablename__ = "membership"
    __table_args__ = (UniqueConstraint("fishroom_id", "user_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    fishroom_id: Mapped[int] = mapped_column(ForeignKey("fishroom.id", ondelete="CASCADE"))
    user_id: Mapped[int] = mapped_column(ForeignKey("user_account.id", ondelete="CASCADE"), index=True)
    role: Mapped[Role] = mapped_column(words(Role))


class SigninLink(Base):
    """A link that signs one user in once; only its digest is kept."""

    __tablename__ = "signin_link"

    id: Mapped[int] = mapped_column(primary_key=True)
    user_id: Mapped[int] = mapped_column(ForeignKey("user_account.id", ondelete="CASCADE"), index=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    expires_at: Mapped[datetime]
    used_at: Mapped[datetime | None]
