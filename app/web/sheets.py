"""Lists as files that every spreadsheet opens."""

import csv
from collections.abc import Iterable, Sequence
from io import StringIO

from flask import Response


def as_csv(name: str, head: Sequence[str], rows: Iterable[Sequence[str]]) -> Response:
    """Answer with a comma-separated file; text that a spreadsheet would take for a formula is quoted."""
    text = StringIO()
    writer = csv.writer(text)
    writer.writerow(head)
    writer.writerows([_harmless(cell) for cell in row] for row in rows)
    return Response(
        text.getvalue(),
        mimetype="text/csv",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


def _harmless(cell: str) -> str:
    """Keep a cell from being run as a formula (OWASP, CSV injection)."""
    return f"'{cell}" if cell[:1] in {"=", "+", "-", "@", "\t", "\r"} else cell
