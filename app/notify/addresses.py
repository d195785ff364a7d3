"""Where a message may go: an e-mail address, or one of Apprise's that reads no files and runs nothing."""

import re
import sys
from dataclasses import dataclass
from ipaddress import ip_address
from typing import Any
from urllib.parse import parse_qsl, urlsplit

from apprise import Apprise, AppriseAsset, PersistentStoreMode
from apprise.plugins import N_MGR

from app.core.problems import Problem
from app.notify.guard import is_public

PLAIN = re.compile(r"[A-Za-z0-9._%+'-]{1,64}@(?:[A-Za-z0-9-]{1,63}\.)+[A-Za-z]{2,24}")
MAIL = frozenset({"mailto", "mailtos"})
MAIL_WORDS = frozenset({"to", "from", "name", "smtp", "mode", "user", "pass", "reply", "verify"})
"""What may stand behind the question mark of a mail address; the others read keys or add readers."""
FILE_READERS = frozenset({"fcm", "vapid"})
"""Schemes whose credentials are a file of the server's; the test of this module looks for new ones."""
FILE_WORDS = frozenset(
    {"template", "keyfile", "subfile", "attach", "config", "retry", "wait", "rto", "cto", "store"}
)
"""What may read a file or fetch another address, and what would send again or wait on its own."""
LONGEST = 600


@dataclass(frozen=True, slots=True)
class Address:
    """A place that messages can go to; ``shown`` is all that a page tells of it."""

    url: str
    shown: str
    plain: bool = False


def asset() -> AppriseAsset:
    """Return Apprise's own settings: nothing kept, nothing loaded, no secrets in its log."""
    return AppriseAsset(
        async_mode=False,
        secure_logging=True,
        plugin_paths=[],
        storage_mode=PersistentStoreMode.MEMORY,
        app_id="Broodwater",
        app_desc="Broodwater",
    )


def plugin(url: str) -> Any:  # noqa: ANN401 - the library is not typed
    """Return Apprise's sender for an address, or nothing."""
    return Apprise.instantiate(url, asset=asset(), suppress_exceptions=True)


def understood(text: str, *, private: bool = False) -> Address:
    """Return the address that was typed, or say why it cannot be used."""
    typed = text.strip()
    if not typed or len(typed) > LONGEST or any(ord(letter) < 33 for letter in typed):
        raise _problem(
            "Give an e-mail address, or one that begins like json:// or mailtos://, without spaces."
        )
    if PLAIN.fullmatch(typed):
        return Address(typed, masked(typed), plain=True)
    scheme = typed.partition("://")[0].lower()
    if "://" not in typed or not _known(scheme):
        raise _problem(
            "That is neither an e-mail address nor one of the services known here. "
            "The documentation of Apprise lists how each service’s address is written."
        )
    _harmless(typed, scheme)
    found = plugin(typed)
    if found is None:
        raise _problem(f"The {scheme} address is not complete. Look up how it is written and try again.")
    if not private:
        _outside(found)
    return Address(typed, f"{found.service_name} ({scheme}://…{_place(found)})"[:80])


def _harmless(url: str, scheme: str) -> None:
    if not allowed(scheme):
        raise _problem(f"{scheme}:// cannot be used here: it does not send over the web or by mail.")
    asked = {key.lower().lstrip("+-:") for key, _ in parse_qsl(urlsplit(url).query, keep_blank_values=True)}
    wrong = asked - MAIL_WORDS if scheme in MAIL else asked & FILE_WORDS
    if wrong:
        raise _problem(f"Leave “{min(wrong)}” out of the address; it is not allowed here.")


def allowed(scheme: str) -> bool:
    """Say whether a scheme sends by mail or over HTTP, and needs no file of the server's."""
    if scheme in MAIL:
        return True
    kind = N_MGR[scheme]
    sends_http = hasattr(sys.modules[kind.__module__], "requests")
    return bool(kind.enabled) and sends_http and scheme not in FILE_READERS and not _local(kind)


def _local(kind: Any) -> bool:  # noqa: ANN401
    """Say whether a kind of sender runs programs of this machine or speaks to its desktop."""
    module = sys.modules[kind.__module__]
    return any(hasattr(module, name) for name in ("subprocess", "gntp", "dbus", "gi", "win32api"))


def _outside(found: Any) -> None:  # noqa: ANN401
    """Refuse a private address that is written out; names are looked at when they are connected to."""
    host = str(getattr(found, "host", None) or "").strip("[]").lower()
    try:
        inside = not is_public(str(ip_address(host)))
    except ValueError:
        inside = host == "localhost" or host.endswith((".localhost", ".local", ".internal"))
    if inside:
        raise _problem(
            "That address lies in the server’s own network, and whoever runs it does not allow that."
        )


def masked(email: str) -> str:
    """Return an e-mail address so that its owner knows it and a passer-by does not."""
    name, _, host = email.partition("@")
    return f"{name[0]}…@{host}"[:80]


def _place(found: Any) -> str:  # noqa: ANN401
    """Return the host of an address that names one; elsewhere its place may hold a secret."""
    named = any("{host}" in template for template in found.templates)
    host = str(getattr(found, "smtp_host", None) or found.host or "") if named else ""
    return f" at {host}" if host else ""


def _problem(words: str) -> Problem:
    return Problem(words, "address")


def _known(scheme: str) -> bool:
    return scheme in N_MGR.schemas()  # type: ignore[no-untyped-call]
