"""Where pictures lie: files in a folder, each called by the digest of what it holds."""

import hashlib
import re
from pathlib import Path

from app.store.session import NotFound

DIGEST = re.compile(r"[0-9a-f]{64}")


def keep(folder: Path, picture: bytes) -> str:
    """Write a picture under its digest, whole or not at all; the same one twice is one file."""
    digest = hashlib.sha256(picture).hexdigest()
    home = path_of(folder, digest)
    if not home.exists():
        home.parent.mkdir(parents=True, exist_ok=True)
        half = home.with_suffix(".part")
        half.write_bytes(picture)
        half.replace(home)
    return digest


def path_of(folder: Path, digest: str) -> Path:
    """Return where the picture of a digest lies."""
    if not DIGEST.fullmatch(digest):
        raise NotFound("no such picture")
    return folder / digest[:2] / f"{digest}.jpg"
