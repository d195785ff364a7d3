"""What every answer carries and every unsafe request must show."""

from urllib.parse import urlsplit

from flask import Flask, Response, abort, g, request, session
from werkzeug.routing import IntegerConverter, Map
from wtforms.csrf.session import SessionCSRF

from app.store.session import LARGEST_ID
from app.web.api import BY_TOKEN
from app.web.db import SAFE

POLICY = "; ".join(  # noqa: FLY002 - one rule a line reads better
    (
        "default-src 'none'",
        "script-src 'self'",
        "worker-src 'self'",
        "style-src 'self'",
        "font-src 'self'",
        "img-src 'self' data: blob:",
        "connect-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
YEAR = 31_536_000


def install(app: Flask) -> None:
    """Check the origin of unsafe requests; set the headers of every answer."""
    app.url_map.converters["int"] = RowNumber
    app.before_request(_same_origin)
    app.before_request(_no_nul)
    app.after_request(_headers)


def _same_origin() -> None:
    """Refuse an act that another site sent, whatever its token."""
    if request.method in SAFE or request.endpoint in BY_TOKEN:
        return
    site = request.headers.get("Sec-Fetch-Site")
    if site is not None and site not in {"same-origin", "none"}:
        abort(403, "That form came from another site. Open the page here and send it again.")
    origin = request.headers.get("Origin")
    if origin is not None and urlsplit(origin).netloc != request.host:
        abort(403, "That form came from another site. Open the page here and send it again.")


class RowNumber(IntegerConverter):
    """A row's number in an address; one that no database can hold leads nowhere."""

    def __init__(self, url_map: Map) -> None:
        """Bound it."""
        super().__init__(url_map, max=LARGEST_ID)


def _no_nul() -> None:
    """Refuse the one letter that PostgreSQL keeps in no text."""
    if "\0" in request.path or any("\0" in value for _, value in request.args.items(multi=True)):
        abort(400)


def _headers(response: Response) -> Response:
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if request.is_secure:
        response.headers.setdefault("Strict-Transport-Security", f"max-age={YEAR}")
    if request.endpoint != "static":
        response.headers.setdefault("Cache-Control", "no-store" if "user_id" in session else "no-cache")
    return response


def csrf_token() -> str:
    """Return this session's token for a form that has no fields of its own."""
    if "csrf" not in g:
        from app.web.forms.base import Form  # noqa: PLC0415 - forms need this module's key

        g.csrf = Form()["csrf_token"].current_token  # type: ignore[attr-defined]
    return str(g.csrf)


__all__ = ["SessionCSRF", "csrf_token", "install"]
