"""Writes the journal: every act keeps what each row was before and after."""

from typing import Any, TypeVar

from sqlalchemy.orm import Session

from app.store.actor import Actor
from app.store.base import Base, Owned, columns_of, plain
from app.store.journal import Act, Change

R = TypeVar("R", bound=Owned)


class Entry:
    """One act while it is being done; add, change and remove rows through it."""

    def __init__(self, session: Session, actor: Actor, verb: str) -> None:
        """Open the act."""
        self.session, self.actor = session, actor
        self.act = Act(
            fishroom_id=actor.fishroom_id,
            user_id=actor.user_id,
            at=actor.now,
            verb=verb,
            subject="",
            words="",
        )
        session.add(self.act)
        session.flush()

    @classmethod
    def within(cls, session: Session, actor: Actor, act: Act) -> "Entry":
        """Go on with an act that is being taken back, so that what follows from it is noted too."""
        entry = cls.__new__(cls)
        entry.session, entry.actor, entry.act = session, actor, act
        return entry

    def add(self, row: R) -> R:
        """Insert ``row`` as this fishroom's."""
        row.fishroom_id = self.actor.fishroom_id
        self.session.add(row)
        self.session.flush()
        self._note(row, None, _state(row))
        return row

    def change(self, row: Owned, **values: Any) -> None:  # noqa: ANN401 - any column's value
        """Set columns of ``row``; nothing is noted where nothing differs."""
        before = {key: plain(getattr(row, key)) for key in values}
        for key, value in values.items():
            setattr(row, key, value)
        self.session.flush()
        after = {key: plain(getattr(row, key)) for key in values}
        if after != before:
            self._note(row, before, after)

    def remove(self, row: Owned) -> None:
        """Delete ``row``."""
        before = _state(row)
        self.session.delete(row)
        self.session.flush()
        self._note(row, before, None)

    def tell(self, subject: str, words: str) -> Act:
        """Say what was done, and on whose page it belongs (``fish:12``)."""
        self.act.subject, self.act.words = subject, words[:300]
        self.session.flush()
        self.session.info["act"] = self.act
        return self.act

    def _note(self, row: Owned, before: dict[str, Any] | None, after: dict[str, Any] | None) -> None:
        self.session.add(
            Change(
                fishroom_id=self.actor.fishroom_id,
                act_id=self.act.id,
                table_name=_table(row),
                row_id=row.id,
                before=before,
                after=after,
            )
        )
        self.session.flush()


def _table(row: object) -> str:
    return str(getattr(row, "__tablename__"))  # noqa: B009 - typed models do not declare it


def _state(row: Owned) -> dict[str, Any]:
    assert isinstance(row, Base)  # noqa: S101 - every owned row is a table row
    return {key: plain(getattr(row, key)) for key in columns_of(row)}
