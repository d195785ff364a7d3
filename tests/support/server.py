"""The command in a process of its own, as a person starts it."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_SECONDS = 120


@contextmanager
def command(*words: str, **environ: str) -> Iterator[subprocess.Popen[str]]:
    """Run ``broodwater`` with ``words`` in its own process while the block runs."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("BROODWATER_")}
    process = subprocess.Popen(  # noqa: S603 - our own command
        [sys.executable, "-m", "app", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={**kept, **environ},
    )
    try:
        yield process
    finally:
        process.terminate()
        process.communicate(timeout=PATIENCE_SECONDS)
