"""A person without a pointer: Tab, Space, Enter, arrows and letters, and a look at the focus each time."""

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

FOCUS = """() => {
  const one = document.activeElement;
  if (!one || one === document.body) return null;
  const shown = one.matches(".chip-in") ? one.nextElementSibling : one;
  const style = getComputedStyle(shown);
  const box = shown.getClientRects()[0];
  const top = box && document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
  const place = one.matches(".chip-in") ? one.closest("label") : one;
  const words = one.labels?.[0]?.innerText ?? one.innerText ?? "";
  return {
    says: words.replace(/\\s+/g, " ").trim(),
    name: one.name ?? "",
    value: one.value ?? "",
    kind: one.type ?? one.localName,
    inside: Boolean(one.closest("main")),
    ringed: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
    open: Boolean(top) && place.contains(top),
  };
}"""
MOST = 150


@dataclass(frozen=True)
class Focus:
    """What has the focus: what it says, and whether a person can see that it has it."""

    says: str
    name: str
    value: str
    kind: str
    inside: bool
    ringed: bool
    open: bool


class Keys:
    """One page, and only the keyboard."""

    def __init__(self, page: "Page") -> None:
        """Hold the page."""
        self.page = page
        page.set_default_timeout(8000)

    def focus(self) -> Focus | None:
        """Return what has the focus, or nothing; fail where it cannot be seen."""
        found = self.page.evaluate(FOCUS)
        if found is None:
            return None
        focus = Focus(**found)
        assert focus.ringed, f"no ring around {focus} on {self.page.url}"
        assert focus.open, f"{focus} has the focus out of sight on {self.page.url}"
        return focus

    def press(self, key: str) -> Focus | None:
        """Press one key."""
        self.page.keyboard.press(key)
        return self.focus()

    def to(self, says: str = "", name: str = "") -> Focus:
        """Go on with Tab to what says this, or to the field of this name."""
        passed = []
        for _ in range(MOST):
            focus = self.focus()
            if focus and (focus.name == name if name else re.fullmatch(says, focus.says)):
                return focus
            passed.append(focus.says if focus else "the window")
            self.press("Tab")
        raise AssertionError(f"no Tab leads to {says or name} on {self.page.url}, only to {passed}")

    def enter(self, says: str) -> None:
        """Go to a link, a button or a fold, and press Enter."""
        self.to(says)
        self.page.keyboard.press("Enter")
        self.page.wait_for_load_state("load")
        self.page.locator(".htmx-request").first.wait_for(state="detached")

    def fill(self, **fields: str) -> None:
        """Type into fields by name; in a list the first letters choose."""
        for name, value in fields.items():
            if self.to(name=name).kind != "select-one":
                self.page.keyboard.press("Control+a")
            self.page.keyboard.type(value)

    def choose(self, name: str, value: str) -> None:
        """Choose one of a group of chips with the arrows."""
        focus = self.to(name=name)
        self.press("Space")
        for _ in range(9):
            if focus.value == value:
                return
            focus = self.press("ArrowRight") or focus
        raise AssertionError(f"no arrow leads to {value} of {name}")

    def tick(self, says: str) -> None:
        """Tick a chip."""
        self.to(says)
        self.press("Space")

    def sees(self, words: str) -> None:
        """Wait until the page says ``words``."""
        self.page.get_by_text(words).locator("visible=true").first.wait_for()
