"""What a careful eye finds wrong with a page: too wide, text over text, a button under something else."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

TOO_WIDE = "document.documentElement.scrollWidth - document.documentElement.clientWidth"

SEEN = """
const seen = (one) => {
  for (let at = one; at; at = at.parentElement) {
    const style = getComputedStyle(at);
    if (style.visibility === "hidden" || style.display === "none" || style.clipPath !== "none") return false;
    const fold = at.parentElement;
    if (fold?.localName === "details" && !fold.open && at.localName !== "summary") return false;
  }
  return true;
};
// What is fixed or sticks lies over the page on purpose: texts are compared within one layer only.
const layer = (one) => {
  for (let at = one; at; at = at.parentElement)
    if (["fixed", "sticky"].includes(getComputedStyle(at).position)) return at;
  return null;
};
"""

OVERLAPS = (
    "() => {"
    + SEEN
    + """
  const lines = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement;
    const words = node.textContent.trim();
    if (!words || /^(script|style|title|option)$/i.test(parent.localName) || !seen(parent)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) {
      if (box.width < 2 || box.height < 2) continue;
      // the letters themselves, without the room above and below them
      const trim = box.height * 0.25;
      lines.push({ words, layer: layer(parent), left: box.left + 1, right: box.right - 1,
                   top: box.top + trim, bottom: box.bottom - trim });
    }
  }
  const found = [];
  lines.sort((a, b) => a.top - b.top);
  lines.forEach((one, i) => {
    for (let j = i + 1; j < lines.length && lines[j].top < one.bottom; j++) {
      const other = lines[j];
      if (other.layer === one.layer && other.left < one.right && one.left < other.right)
        found.push(`"${one.words.slice(0, 40)}" over "${other.words.slice(0, 40)}"`);
    }
  });
  return found;
}"""
)

COVERED = (
    "() => {"
    + SEEN
    + """
  const found = [];
  for (const one of document.querySelectorAll("main :is(a, button, input, select, textarea, summary)")) {
    if (!seen(one) || one.type === "hidden" || one.disabled) continue;
    one.scrollIntoView({ block: "center", inline: "center" });
    const box = one.getClientRects()[0];
    if (!box) continue;
    const top = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    const label = one.closest("label");
    const same = top && (one.contains(top) || (label && label === top.closest("label")));
    if (!same) found.push(`${one.outerHTML.slice(0, 80)} lies under ${top?.outerHTML.slice(0, 60)}`);
  }
  window.scrollTo(0, 0);
  return found;
}"""
)

CLIPPED = (
    "() => {"
    + SEEN
    + """
  const found = [];
  for (const one of document.body.querySelectorAll("*")) {
    const style = getComputedStyle(one);
    const hides = ["hidden", "clip"].includes(style.overflowX) || style.textOverflow === "ellipsis";
    if (!hides || one.closest("svg") || !seen(one) || !one.textContent.trim()) continue;
    if (one.scrollWidth > one.clientWidth + 1) found.push(one.outerHTML.slice(0, 120));
  }
  return found;
}"""
)


def too_wide(page: "Page") -> list[str]:
    """Return by how much the page must be scrolled sideways."""
    wide = page.evaluate(TOO_WIDE)
    return [f"{wide} px too wide"] if wide > 0 else []


def overlaps(page: "Page") -> list[str]:
    """Return texts that stand over each other."""
    return [str(one) for one in page.evaluate(OVERLAPS)]


def covered(page: "Page") -> list[str]:
    """Return links, buttons and fields whose middle cannot be tapped."""
    return [str(one) for one in page.evaluate(COVERED)]


def clipped(page: "Page") -> list[str]:
    """Return what hides a part of its text."""
    return [str(one) for one in page.evaluate(CLIPPED)]
