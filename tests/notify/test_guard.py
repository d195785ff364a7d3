"""What counts as the server's own network, and that nothing connects there while it is watched."""

import socket
import threading

import pytest

from app.notify.guard import PrivateTarget, is_public, watch, watching

INSIDE = [
    "127.0.0.1", "10.1.2.3", "172.16.0.9", "192.168.1.20", "169.254.169.254", "100.64.0.1", "0.0.0.0",  # noqa: S104
    "224.0.0.1", "255.255.255.255", "::1", "::", "fe80::1", "fe80::1%eth0", "fd00::1", "ff02::1",
    "::ffff:127.0.0.1", "::ffff:192.168.1.20", "2002:7f00:1::", "64:ff9b::10.0.0.1", "localhost", "",
    "::127.0.0.1", "::ffff:0:127.0.0.1", "fec0::1", "64:ff9b:1::10.0.0.1",
]  # fmt: skip


@pytest.mark.parametrize("address", INSIDE)
def test_the_own_network_is_known_in_every_spelling(address: str) -> None:
    assert not is_public(address)


@pytest.mark.parametrize("address", ["9.9.9.9", "2620:fe::fe", "::ffff:9.9.9.9", "64:ff9b::9.9.9.9"])
def test_the_open_internet_is_let_through(address: str) -> None:
    assert is_public(address)


def test_a_connection_inside_is_stopped_only_while_it_is_watched() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        with watching(private=False) as seen, pytest.raises(PrivateTarget):
            socket.create_connection(server.getsockname(), 1)
        assert seen.refused
        with watching(private=True) as allowed, socket.create_connection(server.getsockname(), 1):
            assert not allowed.refused
        with socket.create_connection(server.getsockname(), 1):
            assert watch() is None


def test_another_thread_is_not_watched() -> None:
    went: list[bool] = []
    with socket.create_server(("127.0.0.1", 0)) as server:

        def connect() -> None:
            with socket.create_connection(server.getsockname(), 1):
                went.append(True)

        with watching(private=False):
            thread = threading.Thread(target=connect)
            thread.start()
            thread.join()
    assert went == [True]


def test_a_socket_of_the_machine_itself_is_stopped_too() -> None:
    with (
        watching(private=False),
        socket.socket(socket.AF_UNIX) as local,
        pytest.raises(PrivateTarget),
    ):
        local.connect("/run/nothing")
