"""Where each noun's page is, for pages that speak of many nouns."""

from typing import Any

from flask import current_app, url_for

ADDRESSES = {
    "tank": ("tanks.page", "tank_id"),
    "fish": ("fish.page", "fish_id"),
    "batch": ("batches.page", "batch_id"),
    "brood": ("broods.page", "brood_id"),
    "pairing": ("pairings.page", "pairing_id"),
    "line": ("lines.page", "line_id"),
    "project": ("projects.page", "project_id"),
    "logger": ("loggers.page", "logger"),
    "channel": ("messages.page", "channel"),
    "case": ("cases.page", "case_id"),
    "plan": ("plans.page", "plan_id"),
    "want": ("wants.page", "want_id"),
}


def address(kind: str, row_id: int, *, full: bool = False) -> str:
    """Return the address of one thing's page, with the server's own name where it is to be ``full``."""
    endpoint, name = ADDRESSES[kind]
    values: dict[str, Any] = {name: row_id}
    return whole(url_for(endpoint, **values)) if full else url_for(endpoint, **values)


def whole(path: str) -> str:
    """Return an address for outside; its host is the setting's, whatever a request's head says."""
    return f"{current_app.config['ADDRESS']}{path}"
