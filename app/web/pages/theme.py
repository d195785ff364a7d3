"""Light or dark, as the person in the fishroom likes it."""

from flask import Blueprint, redirect, request

from app.web.theme import THEMES
from app.web.views import View, back

pages = Blueprint("theme", __name__)
YEAR = 31_536_000


@pages.post("/theme")
def choose() -> View:
    """Keep the choice in a cookie; anything else means the system's."""
    answer = redirect(back("/"), code=303)
    chosen = request.form.get("theme", "")
    if chosen in THEMES:
        answer.set_cookie("theme", chosen, max_age=YEAR, samesite="Lax", secure=request.is_secure)
    else:
        answer.delete_cookie("theme")
    return answer
