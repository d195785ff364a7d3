"""The journal: who changed what, before and after, act by act."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from app.store.base import Base, Owned, link, owned_by


class Act(Owned, Base):
    """One act of one person, in a sentence; ``subject`` is the page it belongs to, like ``fish:12``."""

    __tablename__ = "act"
    __table_args__ = owned_by(Index("ix_act_fishroom_id_subject", "fishroom_id", "subject"))

    user_id: Mapped[int | None] = mapped_column(
        ForeignKey("user_account.id", ondelete="SET NULL"), index=True
    )
    at: Mapped[datetime]
    verb: Mapped[str] = mapped_column(String(40))
    subject: Mapped[str] = mapped_column(String(40))
    words: Mapped[str] = mapped_column(String(300))
    undone_at: Mapped[datetime | None]


class Change(Owned, Base):
    """One row that an act made, altered or removed."""

    __tablename__ = "change"
    __table_args__ = owned_by(
        link("act_id", "act"), Index("ix_change_row", "fishroom_id", "table_name", "row_id")
    )

    act_id: Mapped[int] = mapped_column(index=True)
    table_name: Mapped[str] = mapped_column(String(40))
    row_id: Mapped[int]
    before: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))
    after: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))
