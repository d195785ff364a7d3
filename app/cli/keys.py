"""The key that signs sessions: made once, kept in the data folder, readable by its owner only."""

import os
import secrets
from dataclasses import replace
from pathlib import Path

from app.config import Config

NAME = "secret-key"


def with_key(config: Config) -> Config:
    """Return the settings with a key: the one that was set, else the one kept in the data folder."""
    return config if config.secret_key else replace(config, secret_key=kept_key(config.data))


def kept_key(folder: Path) -> str:
    """Return the folder's key, made on first use."""
    path = folder / NAME
    folder.mkdir(parents=True, exist_ok=True)
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text(encoding="ascii").strip()
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(48))
    return path.read_text(encoding="ascii")
