"""Sends to a push service through Apprise, and tells what surely did not go out from what may have."""

from typing import Any

import requests
from apprise import NotifyFormat, NotifyType, OverflowMode
from requests.adapters import HTTPAdapter

from app.notify.guard import Watch, watch
from app.notify.outcome import Fate, Message, Outcome

SECONDS = 10.0
COME_BACK = frozenset({408, 425, 429})  # RFC 9110, 8470 and 6585: the same request may do later


class _Noting(HTTPAdapter):
    """Notes what the service answered; Apprise itself says only yes or no."""

    def send(self, *args: Any, **more: Any) -> requests.Response:  # noqa: ANN401
        """Send, and note the status."""
        answer: requests.Response = super().send(*args, **more)
        if (seen := watch()) is not None:
            seen.status = answer.status_code
            seen.accepted |= answer.ok
        return answer


requests.sessions.HTTPAdapter = _Noting  # type: ignore[attr-defined] # Apprise offers no other place


def send_push(service: Any, message: Message, seen: Watch) -> Outcome:  # noqa: ANN401 - Apprise's
    """Send ``message`` to a service that Apprise understood, once."""
    service.retry = 0
    service.overflow_mode = OverflowMode.TRUNCATE
    service.socket_connect_timeout = service.socket_read_timeout = SECONDS
    went = service.notify(
        body=message.text, title=message.title, notify_type=NotifyType.INFO, body_format=NotifyFormat.TEXT
    )
    return Outcome(Fate.SENT) if went else _not_sent(seen)


def _not_sent(seen: Watch) -> Outcome:
    if seen.accepted:
        return Outcome(Fate.UNKNOWN, "The service took a part of it, or asked for more than it was given.")
    if seen.status is not None:
        gone = 400 <= seen.status < 500 and seen.status not in COME_BACK
        return Outcome(Fate.FAILED if gone else Fate.RETRY, f"The service answered {seen.status}.")
    if seen.left:
        return Outcome(Fate.UNKNOWN, "The service did not say whether it took the message.")
    return Outcome(Fate.RETRY, "The service could not be reached.")
