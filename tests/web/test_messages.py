"""The page of a member's own morning messages, with a real mail server behind the test button."""

from collections.abc import Iterator

import pytest

from app.notify.outbox import Outbox
from app.store.channels import Channel
from app.store.session import rows
from tests.factories import Made
from tests.support.client import Visitor
from tests.support.receivers import Mailbox, mail_server

PATH = "/settings/messages"


@pytest.fixture
def box(visit: Visitor) -> Iterator[Mailbox]:
    """The server's mail account is on a server of our own."""
    with mail_server() as running:
        visit.app.extensions["outbox"] = Outbox("only for tests", running.account)
        yield running


@pytest.fixture
def channel(visit: Visitor, box: Mailbox, made: Made) -> Channel:
    """The keeper's address."""
    visit.send(PATH, address="keeper@fish.example", send_at="06:30")
    return rows(made.session, Channel)[0]


def test_an_e_mail_address_is_enough_where_the_server_has_an_account(visit: Visitor, box: Mailbox) -> None:
    assert "Your e-mail address is enough" in visit.open(PATH).words
    page = visit.send(PATH, address="keeper@fish.example", send_at="06:30")
    assert "k…@fish.example" in page.words
    assert "06:30" in page.words


def test_where_it_has_none_the_page_says_what_to_write(visit: Visitor) -> None:
    assert "push service" in visit.open(PATH).words
    page = visit.send(PATH, address="keeper@fish.example", send_at="06:30")
    assert page.status == 422
    assert "no mail account of its own" in page.words
    assert page.value("address") == "keeper@fish.example"


def test_an_address_inside_the_server_s_network_is_refused_and_kept_in_the_form(visit: Visitor) -> None:
    page = visit.send(PATH, address="json://192.168.1.4/hook", send_at="06:30")
    assert page.status == 422
    assert "own network" in page.words
    assert page.value("address") == "json://192.168.1.4/hook"


def test_a_test_arrives(visit: Visitor, box: Mailbox, channel: Channel) -> None:
    page = visit.post(f"/settings/messages/{channel.id}/test", PATH)
    assert "Sent. Look whether it arrived." in page.words
    assert box.to == ["keeper@fish.example"]
    assert "Cellar" in str(box.letters[0]["Subject"])


def test_a_test_that_is_refused_says_so_and_pauses(visit: Visitor, box: Mailbox, channel: Channel) -> None:
    box.at_recipient = "550 no such mailbox"
    page = visit.post(f"/settings/messages/{channel.id}/test", PATH)
    assert "It did not go out. The mail server said 550: no such mailbox" in page.words
    assert "Paused" in page.words
    assert "It goes out again." in visit.post(f"/settings/messages/{channel.id}/resume", PATH).words


def test_tests_are_not_for_flooding(visit: Visitor, box: Mailbox, channel: Channel) -> None:
    for _ in range(5):
        visit.post(f"/settings/messages/{channel.id}/test", PATH)
    assert visit.post(f"/settings/messages/{channel.id}/test", PATH).status == 429
    assert len(box.letters) == 5


def test_another_time_a_pause_and_the_end(visit: Visitor, made: Made, channel: Channel) -> None:
    assert "08:15" in visit.post(f"/settings/messages/{channel.id}/time", PATH, send_at="08:15").words
    refused = visit.post(f"/settings/messages/{channel.id}/time", PATH, send_at="soon")
    assert "08:15" in refused.words
    assert "paused" in visit.post(f"/settings/messages/{channel.id}/pause", PATH).words
    page = visit.post(f"/settings/messages/{channel.id}/remove", PATH)
    assert "The address is removed." in page.words
    assert rows(made.session, Channel) == []


def test_a_reader_has_messages_too_but_touches_nobody_elses(
    reading: Visitor, visit: Visitor, channel: Channel
) -> None:
    assert "k…@" not in reading.open(PATH).words
    assert reading.post(f"/settings/messages/{channel.id}/pause", PATH).status == 404
    assert reading.send(PATH, address="reader@fish.example", send_at="07:00").status == 200
