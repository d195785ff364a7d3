"""The command in a process of its own, as a person starts it."""

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO
from urllib.error import HTTPError
from urllib.request import HTTPCookieProcessor, OpenerDirector, build_opener

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_SECONDS = 120


@contextmanager
def command(*words: str, stdin: str = "", **environ: str) -> Iterator[subprocess.Popen[str]]:
    """Run ``broodwater`` with ``words`` in its own process while the block runs."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("BROODWATER_")}
    process = subprocess.Popen(  # noqa: S603 - our own command
        [sys.executable, "-m", "app", *words],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={**kept, **environ},
    )
    assert process.stdin is not None
    process.stdin.write(stdin)
    process.stdin.close()
    process.stdin = None
    try:
        yield process
    finally:
        process.terminate()
        process.communicate(timeout=PATIENCE_SECONDS)


def line_with(stream: IO[str] | None, pattern: re.Pattern[str]) -> re.Match[str]:
    """Read until a line holds ``pattern``; fail with what was said where none does."""
    assert stream is not None
    said = []
    for line in stream:
        said.append(line)
        if found := pattern.search(line):
            return found
    raise AssertionError(f"no {pattern.pattern} in {said}")


def browser() -> OpenerDirector:
    """Return something that opens addresses, keeps cookies and follows redirects."""
    return build_opener(HTTPCookieProcessor())


def status(address: str, opener: OpenerDirector | None = None) -> int:
    """Return how ``address`` answers, refusals too."""
    try:
        with (opener or browser()).open(address, timeout=PATIENCE_SECONDS) as answer:
            return int(answer.status)
    except HTTPError as refusal:
        refusal.close()
        return int(refusal.code)
