"""Which of the two themes a browser asked for."""

from flask import request

THEMES = ("light", "dark")


def theme() -> str:
    """Return the chosen theme, or nothing for the system's."""
    chosen = request.cookies.get("theme", "")
    return chosen if chosen in THEMES else ""
