"""One pass over all fishrooms' morning messages, and the thread that makes one every minute."""

import threading
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime

from sqlalchemy import Engine
from sqlalchemy.orm import sessionmaker

from app.cli.terminal import now, tell
from app.config import Config
from app.notify.outbox import Outbox
from app.notify.outcome import Fate, Outcome
from app.services import deliveries
from app.services.deliveries import Claim, Due
from app.store.channels import DeliveryState
from app.store.session import RoomSession, make_engine, make_sessions, writing

EVERY_SECONDS = 60.0
PATIENCE_SECONDS = 30.0
"""A sending gives up after that long at the latest."""

Clock = Callable[[], datetime]


class Passing:
    """Goes over all messages that are due; every step has a session and a commit of its own."""

    def __init__(self, engine: Engine, outbox: Outbox, address: str, clock: Clock = now) -> None:
        """Keep what a pass needs."""
        self.reading: sessionmaker[RoomSession] = make_sessions(engine)
        self.writing: sessionmaker[RoomSession] = make_sessions(writing(engine))
        self.outbox, self.address, self.clock = outbox, address, clock

    def once(self, stop: threading.Event | None = None) -> Counter[DeliveryState]:
        """Send what is due now; say how the messages stand that were ours."""
        with self.reading() as session:
            due = deliveries.waiting(session, self.clock())
        stands: Counter[DeliveryState] = Counter()
        for one in due:
            if stop is not None and stop.is_set():
                break
            mine = self._claimed(one)
            if mine is not None:
                stands[self._settled(mine, self._sent(mine))] += 1
        return stands

    def _claimed(self, due: Due) -> Claim | None:
        with self.writing() as session:
            mine = deliveries.claim(session, due, self.clock())
            session.commit()
        return mine

    def _sent(self, mine: Claim) -> Outcome | None:
        """Compose and send; what goes wrong before the sending surely sent nothing."""
        try:
            with self.reading() as session:
                message = deliveries.compose(session, mine, self.address)
        except Exception as error:  # noqa: BLE001 - one fishroom's trouble is not the next one's
            return Outcome(Fate.RETRY, f"It could not be written: {type(error).__name__}: {error}"[:200])
        return None if message is None else self.outbox.send(mine.sealed, message, self.clock())

    def _settled(self, mine: Claim, outcome: Outcome | None) -> DeliveryState:
        with self.writing() as session:
            delivery = deliveries.settle(session, mine, outcome, self.clock())
            session.commit()
        return delivery.state


@contextmanager
def passing(config: Config, clock: Clock = now) -> Iterator[Passing]:
    """Open the database for passes."""
    engine = make_engine(config.database, durable=config.durable)
    try:
        yield Passing(
            engine, Outbox(config.secret_key, config.mail, config.private_targets), config.address, clock
        )
    finally:
        engine.dispose()


@contextmanager
def reminding(config: Config) -> Iterator[None]:
    """Make a pass every minute, in a thread of its own, while the block runs."""
    if not config.remind:
        yield
        return
    stop = threading.Event()
    thread = threading.Thread(target=_every_minute, args=(config, stop), name="reminding", daemon=True)
    thread.start()
    try:
        yield
    finally:
        stop.set()
        thread.join(PATIENCE_SECONDS)


def _every_minute(config: Config, stop: threading.Event) -> None:
    with passing(config) as going:
        while not stop.wait(EVERY_SECONDS):
            try:
                going.once(stop)
            except Exception as error:  # noqa: BLE001 - the next minute may do better
                tell(f"Morning messages: {type(error).__name__}: {error}")
