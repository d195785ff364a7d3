"""A phone in a person's hand: opens pages, taps what it can read, and has every page checked."""

import re
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Locator, Page

RULES = {"rules": {"target-size": {"enabled": True}}, "resultTypes": ["violations"]}
"""Everything that axe-core checks by itself, and that what is tapped is large enough; what passed is not
told, for on a page of drawings that is thousands of marks."""

CHECKED: set[str] = set()
"""Pages that axe-core has read, by address without numbers and by how many forms they show."""


class Phone:
    """One page on a small screen."""

    def __init__(self, page: "Page", address: str, checker: "BrowserContext") -> None:
        """Hold the page; ``checker`` is a context with JavaScript that reads what this one shows."""
        self.page, self.address, self.checker = page, address, checker
        page.set_default_timeout(8000)

    def open(self, path: str) -> None:
        """Go to a page and check it."""
        self.page.goto(self.address + path)
        self.check()

    def tap(self, words: str, *, exact: bool = False) -> None:
        """Tap a link, a button or a fold that reads ``words``, and check where it leads."""
        self._named(words, exact=exact).first.click()
        self.page.wait_for_load_state("load")
        self.page.locator(".htmx-request").first.wait_for(state="detached")
        self.check()

    def _named(self, words: str, *, exact: bool) -> "Locator":
        button = self.page.get_by_role("button", name=words, exact=exact)
        link = self.page.get_by_role("link", name=words, exact=exact)
        fold = self.page.locator("summary").filter(has_text=words)
        return button.or_(link).or_(fold).locator("visible=true")

    def fill(self, **fields: str) -> None:
        """Type into fields by name."""
        for name, value in fields.items():
            self.page.locator(f"[name={name}]:visible").first.fill(value)

    def choose(self, name: str, words: str) -> None:
        """Choose from a list by what it says."""
        field = self.page.locator(f"select[name={name}]:visible").first
        label = next(text for text in field.locator("option").all_inner_texts() if words in text)
        field.select_option(label=label)

    def tick(self, words: str) -> None:
        """Tap a chip or a tick box."""
        self.page.locator("label:visible").filter(has_text=words).first.click()

    def pick(self, name: str, value: str) -> None:
        """Tap one of a group of chips."""
        self.page.locator(f"[name={name}][value='{value}']").check()

    def sees(self, words: str) -> None:
        """Wait until the page says ``words``."""
        self.page.get_by_text(words).locator("visible=true").first.wait_for()

    def check(self) -> None:
        """Fail on accessibility violations, sideways scrolling, or an error page."""
        where = self.page.url.split("?")[0]
        assert not self.page.get_by_text("Something broke here").count(), where
        sideways = self._html_width()
        assert sideways <= 390, f"{where} is {sideways} px wide on a phone of 390"
        kind = re.sub(r"\d+", "N", where.removeprefix(self.address)) + f" {self.page.locator('form').count()}"
        if kind not in CHECKED:
            found = violations(self.checker, self.page, self.address)
            assert not found, f"{where}: {found}"
            CHECKED.add(kind)

    def _html_width(self) -> int:
        width: Any = self.page.locator("html").bounding_box()
        return round(width["width"]) if width else 0


def violations(checker: "BrowserContext", page: "Page", address: str) -> list[str]:
    """Return the faults of the page as it stands, read in a context that may run scripts."""
    copy = checker.new_page()
    copy.goto(f"{address}/healthz")
    copy.set_content(page.content(), wait_until="load")
    faults = axe_faults(copy)
    copy.close()
    return faults


def axe_faults(page: "Page") -> list[str]:
    """Return what axe-core finds on a page, with the first place of each fault."""
    from axe_playwright_python.sync_playwright import Axe  # noqa: PLC0415 - only with a browser

    return [
        f"{v['id']}: {v['nodes'][0]['failureSummary']} ({v['nodes'][0]['html'][:160]})"
        for v in Axe().run(page, options=RULES).response["violations"]
    ]
