"""Who asks, in which fishroom, with which rights, on which day."""

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from app.core.quantities import Units
from app.store.fishrooms import Fishroom
from app.store.users import Role


class Forbidden(PermissionError):
    """The actor's role does not reach that far."""


@dataclass(frozen=True, slots=True)
class Actor:
    """One member of one fishroom, at one moment; ``today`` is the fishroom's civil date."""

    user_id: int | None
    fishroom_id: int
    role: Role
    now: datetime
    zone: str = "UTC"
    units: Units = Units.METRIC
    set_point_c: float = 25.0

    @classmethod
    def of(cls, room: Fishroom, role: Role, now: datetime, user_id: int | None) -> "Actor":
        """Return who acts in a fishroom, with its clock and its ways of measuring; a device is no user."""
        return cls(user_id, room.id, role, now, room.time_zone, room.units, room.set_point_c)

    @property
    def today(self) -> date:
        """The civil date in the fishroom."""
        return self.day(self.now)

    def local(self, at: datetime) -> datetime:
        """Return a moment by the fishroom's clock."""
        return at.astimezone(ZoneInfo(self.zone))

    def day(self, at: datetime) -> date:
        """Return the fishroom's civil date at a moment."""
        return self.local(at).date()

    @property
    def may_log(self) -> bool:
        """Keepers and helpers write down what happened."""
        return self.role in {Role.KEEPER, Role.HELPER}

    @property
    def may_manage(self) -> bool:
        """Only keepers change how the fishroom is set up."""
        return self.role is Role.KEEPER

    def must_log(self) -> None:
        """Refuse readers."""
        if not self.may_log:
            raise Forbidden("Readers can look but not log. Ask the keeper for the helper's role.")

    def must_manage(self) -> None:
        """Refuse everyone but keepers."""
        if not self.may_manage:
            raise Forbidden("Only the keeper can do that.")
