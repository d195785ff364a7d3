"""A browserless visitor that checks every page it opens, as a careful reader would."""

import re
from collections import Counter
from collections.abc import Iterator
from typing import Any
from urllib.parse import urlsplit
from xml.etree.ElementTree import Element

import html5lib
from flask import Flask, session
from werkzeug.exceptions import HTTPException
from werkzeug.routing import RequestRedirect
from werkzeug.test import TestResponse

from app.store.actor import Actor
from app.web.signin import remember

NS = "{http://www.w3.org/1999/xhtml}"
LABELLED = {"input", "select", "textarea"}
UNLABELLED_TYPES = {"hidden", "submit", "button"}


class Page:
    """One opened page: its answer and its tree."""

    def __init__(self, app: Flask, answer: TestResponse) -> None:
        """Parse the page and check it."""
        self.app, self.answer = app, answer
        self.status = answer.status_code
        self.text = answer.get_data(as_text=True)
        self.tree = html5lib.parse(self.text, namespaceHTMLElements=True)
        if answer.mimetype == "text/html":
            self.check()

    def all(self, tag: str) -> Iterator[Element]:
        """Return every element called ``tag``."""
        found: Iterator[Element] = self.tree.iter(f"{NS}{tag}")
        return found

    @property
    def words(self) -> str:
        """What a person reads, with white space folded."""
        body = next(self.all("body"))
        return re.sub(r"\s+", " ", " ".join(_text(body))).replace("\N{WORD JOINER}", "").strip()

    @property
    def token(self) -> str:
        """The token of the page's first form."""
        for field in self.all("input"):
            if field.get("name") == "csrf_token":
                return field.get("value") or ""
        return ""

    def value(self, name: str) -> str | None:
        """Return what stands in a field."""
        for field in [*self.all("input"), *self.all("textarea")]:
            if field.get("name") == name:
                return field.get("value") if field.tag == f"{NS}input" else (field.text or "")
        return None

    def check(self) -> None:
        """Fail on what a careful reader would not let pass."""
        headings = [*self.all("h1")]
        assert len(headings) == 1, f"{len(headings)} h1 in {self.answer.request.path}"
        self._ids_are_unique()
        self._fields_have_labels()
        self._links_lead_somewhere()
        assert " style=" not in self.text, "inline style"
        assert not re.search(r"\son[a-z]+=\"", self.text), "inline handler"

    def _ids_are_unique(self) -> None:
        ids = Counter(e.get("id") for e in self.tree.iter() if e.get("id"))
        double = [name for name, times in ids.items() if times > 1]
        assert not double, f"ids used twice on {self.answer.request.path}: {double}"

    def _fields_have_labels(self) -> None:
        named = {label.get("for") for label in self.all("label")}
        inside = {id(e) for label in self.all("label") for e in label.iter()}
        for tag in LABELLED:
            for field in self.all(tag):
                if field.get("type") in UNLABELLED_TYPES or field.get("aria-label"):
                    continue
                assert field.get("id") in named or id(field) in inside, f"no label on {field.get('name')}"

    def _links_lead_somewhere(self) -> None:
        adapter = self.app.url_map.bind("localhost")
        for link in self.all("a"):
            target = urlsplit(link.get("href") or "")
            if target.scheme or not target.path:
                continue
            try:
                adapter.match(target.path, method="GET")
            except RequestRedirect:
                continue
            except HTTPException as error:
                raise AssertionError(f"dead link {target.path} on {self.answer.request.path}") from error


def _text(element: Element) -> Iterator[str]:
    if element.tag in {f"{NS}script", f"{NS}style"}:
        return
    if element.text:
        yield element.text
    for child in element:
        yield from _text(child)
        if child.tail:
            yield child.tail


def signed_in(app: Flask, actor: Actor) -> dict[str, Any]:
    """Return what the session of a member who has signed in holds."""
    with app.test_request_context():
        remember(actor.user_id or 0, actor.fishroom_id)
        return {name: session[name] for name in ("user_id", "fishroom_id", "password")}


class Visitor:
    """One member who opens pages and sends forms."""

    def __init__(self, app: Flask, actor: Actor) -> None:
        """Sign the member in."""
        self.app, self.actor = app, actor
        self.client = app.test_client()
        with self.client.session_transaction() as kept:
            kept.update(signed_in(app, actor))

    def open(self, path: str, expect: int = 200) -> Page:
        """Open a page and check it."""
        page = Page(self.app, self.client.get(path))
        assert page.status == expect, f"{path}: {page.status} {page.words[:400]}"
        return page

    def post(self, path: str, token_from: str = "", **fields: Any) -> Page:  # noqa: ANN401
        """Send a form with a good token and follow where it leads; lists are sent as several values."""
        token = Page(self.app, self.client.get(token_from or "/history")).token
        data = {"csrf_token": token, **fields}
        return Page(self.app, self.client.post(path, data=data, follow_redirects=True))

    def send(self, path: str, **fields: Any) -> Page:  # noqa: ANN401
        """Open the form at ``path``, fill ``fields`` and send it to the same address."""
        return self.post(path, path, **fields)
