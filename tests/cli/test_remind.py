"""Morning messages for real: in processes that are killed, by workers that race."""

import signal
import threading
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import pytest
from sqlalchemy import Engine, select

from app.cli import reminding
from app.cli.reminding import Passing
from app.cli.terminal import now
from app.config import Config
from app.notify.outbox import Outbox
from app.queries.messages import lost_messages, messages_page
from app.services import accounts, channels, deliveries
from app.store.actor import Actor
from app.store.channels import Channel, Delivery, DeliveryState
from app.store.session import RoomSession, enter, make_engine, make_sessions
from app.store.users import Role
from tests.conftest import PASSWORD
from tests.factories import Made
from tests.support.database import emptied, migrated, own_url
from tests.support.receivers import Hook, mail_server, web_hook
from tests.support.server import command

SECRET = "only for tests"
ADDRESS = "https://fish.example"


@pytest.fixture(autouse=True)
def noon() -> None:
    """Leave the clock alone: processes have their own."""


@dataclass
class Room:
    """A fishroom with a batch to count, on a database of its own that outlives a process."""

    url: str
    folder: Path
    engine: Engine
    actor: Actor

    def session(self) -> RoomSession:
        """Open a session on the fishroom."""
        opened = make_sessions(self.engine)()
        enter(opened, self.actor.fishroom_id)
        return opened

    def channel(self, address: str, outbox: Outbox) -> None:
        """Keep an address whose hour has come: midnight, entered days ago."""
        with self.session() as session:
            channels.add_channel(session, self.actor, outbox, address=address, send_at=time(0))
            session.commit()

    def states(self) -> list[DeliveryState]:
        """Return how the messages stand."""
        with self.session() as session:
            return [row.state for row in session.scalars(select(Delivery).order_by(Delivery.id))]

    @property
    def environ(self) -> dict[str, str]:
        """The settings of a process on this database."""
        return {
            "BROODWATER_DATA": str(self.folder),
            "BROODWATER_DATABASE": self.url,
            "BROODWATER_SECRET_KEY": SECRET,
            "BROODWATER_PRIVATE_TARGETS": "yes",
        }


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Room]:
    """A fishroom on a fresh database."""
    url = own_url(tmp_path, "remind")
    migrated(url).dispose()
    engine = make_engine(url)
    began = now() - timedelta(days=3)
    with make_sessions(engine)() as session:
        place = accounts.add_fishroom(session, "Cellar", began)
        user = accounts.add_user(session, "keeper@fish.example", PASSWORD, began)
        accounts.add_member(session, place, user, Role.KEEPER)
        enter(session, place.id)
        actor = Actor(user.id, place.id, Role.KEEPER, began)
        made = Made(session, actor)
        made.batch(made.line("guppy"), number=20, age_days=4)  # to be counted on the day it is now
        session.commit()
    yield Room(url, tmp_path, engine, actor)
    engine.dispose()
    emptied(url)


@pytest.fixture
def hook() -> Iterator[Hook]:
    """A web server that takes what is posted."""
    with web_hook() as running:
        yield running


PRIVATE = Outbox(SECRET, private=True)


def passing(room: Room, outbox: Outbox = PRIVATE, after: timedelta = timedelta(0)) -> Passing:
    """Return what goes over the messages, at noon of today."""
    noon = datetime.combine(now().date(), time(12), UTC)
    return Passing(room.engine, outbox, ADDRESS, lambda: noon + after)


def remind(room: Room) -> str:
    with command("remind", **room.environ) as process:
        _, said = process.communicate(timeout=120)
        assert process.returncode == 0, said
        return said


@pytest.mark.slow
def test_a_process_killed_while_it_sends_never_sends_twice_and_the_member_is_told(
    room: Room, hook: Hook
) -> None:
    room.channel(hook.address, PRIVATE)
    hook.holds = True
    with command("remind", **room.environ) as process:
        assert hook.taken.wait(60), "nothing was sent"
        process.send_signal(signal.SIGKILL)
        process.communicate(timeout=30)
        assert process.returncode == -signal.SIGKILL
    hook.holds = False
    hook.let_go.set()
    assert "0 messages due." in remind(room)
    assert (len(hook.posts), room.states()) == (1, [DeliveryState.CLAIMED])
    with room.session() as session:
        later = now() + timedelta(minutes=11)
        told = lost_messages(session, Actor(room.actor.user_id, room.actor.fishroom_id, Role.KEEPER, later))
    assert told[0].words.startswith("may not have gone out.")


@pytest.mark.slow
def test_a_pass_from_the_terminal_sends_once(room: Room, hook: Hook) -> None:
    room.channel(hook.address, PRIVATE)
    assert "1 message due: 1 sent." in remind(room)
    assert "0 messages due." in remind(room)
    assert len(hook.posts) == 1


def test_workers_at_once_send_each_message_once(room: Room, hook: Hook) -> None:
    for number in range(5):
        room.channel(f"{hook.address}{number}", PRIVATE)
    ready, stands = threading.Barrier(4), Counter[DeliveryState]()

    def work() -> None:
        engine = make_engine(room.url)
        going = Passing(engine, PRIVATE, ADDRESS)
        ready.wait()
        stands.update(going.once())
        engine.dispose()

    workers = [threading.Thread(target=work) for _ in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert len(hook.posts) == 5
    assert stands == {DeliveryState.SENT: 5}
    assert room.states() == [DeliveryState.SENT] * 5


def test_what_failed_is_sent_by_a_later_pass(room: Room, hook: Hook) -> None:
    room.channel(hook.address, PRIVATE)
    hook.answers = [503, 200]
    assert passing(room).once() == {DeliveryState.RETRY: 1}
    assert passing(room).once() == {}
    assert passing(room, after=timedelta(minutes=3)).once() == {DeliveryState.SENT: 1}
    assert len(hook.posts) == 2


def test_a_plain_address_goes_through_the_servers_account(room: Room) -> None:
    with mail_server() as box:
        outbox = Outbox(SECRET, box.account)
        room.channel("keeper@fish.example", outbox)
        assert passing(room, outbox).once() == {DeliveryState.SENT: 1}
        body = box.letters[0].get_body(("plain",))
        assert body is not None
        assert "Count B" in body.get_content()
        assert f"{ADDRESS}/settings/messages" in body.get_content()


def test_what_cannot_be_written_is_known_not_to_have_gone(
    room: Room, hook: Hook, monkeypatch: pytest.MonkeyPatch
) -> None:
    room.channel(hook.address, PRIVATE)

    def broken(*_: object) -> None:
        raise ArithmeticError("a bug")

    monkeypatch.setattr(deliveries, "compose", broken)
    assert passing(room).once() == {DeliveryState.RETRY: 1}
    assert hook.posts == []
    with room.session() as session:
        shown = messages_page(session, Actor(room.actor.user_id, room.actor.fishroom_id, Role.KEEPER, now()))
    assert "ArithmeticError" in shown.channels[0].latest[0].words


def config(room: Room, *, remind: bool = True) -> Config:
    return Config(room.folder, room.url, SECRET, remind=remind, private_targets=True)


def test_the_server_s_own_thread_sends_and_ends_with_it(
    room: Room, hook: Hook, monkeypatch: pytest.MonkeyPatch
) -> None:
    room.channel(hook.address, PRIVATE)
    monkeypatch.setattr(reminding, "EVERY_SECONDS", 0.05)
    with reminding.reminding(config(room)):
        assert hook.taken.wait(30)
    assert [thread for thread in threading.enumerate() if thread.name == "reminding"] == []
    assert room.states() == [DeliveryState.SENT]


def test_a_pass_that_fails_does_not_end_the_thread(
    room: Room, hook: Hook, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    room.channel(hook.address, PRIVATE)
    monkeypatch.setattr(reminding, "EVERY_SECONDS", 0.05)
    waiting = deliveries.waiting
    troubles = iter([OSError("the database is away")])

    def first_fails(session: RoomSession, moment: datetime) -> object:
        for trouble in troubles:
            raise trouble
        return waiting(session, moment)

    monkeypatch.setattr(deliveries, "waiting", first_fails)
    with reminding.reminding(config(room)):
        assert hook.taken.wait(30)
    assert "OSError: the database is away" in capsys.readouterr().err


def test_it_is_left_to_a_timer_where_the_setting_says_so(room: Room) -> None:
    with reminding.reminding(config(room, remind=False)):
        assert "reminding" not in {thread.name for thread in threading.enumerate()}


def test_nothing_but_the_sealed_address_lies_in_the_database(room: Room, hook: Hook) -> None:
    room.channel(hook.address, PRIVATE)
    with room.session() as session:
        kept = session.scalars(select(Channel)).one()
        assert "127.0.0.1" not in kept.address_cipher
