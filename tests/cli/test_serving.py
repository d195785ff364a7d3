"""Ports are held, and a taken one is told or stepped over."""

import pytest
from click import ClickException

from app.cli import serving
from app.cli.serving import PortTaken, hold_port, port_of


def test_a_port_in_use_is_refused_by_name() -> None:
    with hold_port("127.0.0.1", 0) as held:
        with pytest.raises(PortTaken) as refusal:
            hold_port("127.0.0.1", port_of(held))
        assert refusal.value.message == (
            f"Port {port_of(held)} is in use. Stop what uses it, or choose another --port."
        )


def test_without_a_port_the_next_free_one_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    with hold_port("127.0.0.1", 0) as held:
        monkeypatch.setattr(serving, "FIRST_PORT", port_of(held))
        with hold_port("127.0.0.1", None) as other:
            assert port_of(other) > port_of(held)


def test_an_address_that_is_not_ours_is_refused_with_the_reason() -> None:
    with pytest.raises(ClickException, match=r"Cannot listen on 192\.0\.2\.1, port 0"):
        hold_port("192.0.2.1", 0)
