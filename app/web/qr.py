"""Square codes that a phone reads, drawn as one path without a style of its own."""

import segno
from markupsafe import Markup


def qr(text: str, title: str) -> Markup:
    """Return the code of ``text`` as a drawing; what it says has to stand beside it in words."""
    code = segno.make(text, error="m", micro=False, boost_error=False)
    drawing = code.svg_inline(border=2, omitsize=True, dark="#000", light="#fff", title=title, svgclass="qr")
    return Markup(drawing)  # noqa: S704 - segno escapes the title, and the text is a path
