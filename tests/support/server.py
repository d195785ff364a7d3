"""Real servers for tests: the application on a port of its own, and the command in its own process."""

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from wsgiref.types import WSGIApplication

from werkzeug.serving import WSGIRequestHandler, make_server

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_SECONDS = 120


class Quiet(WSGIRequestHandler):
    """Answers without a line for every request."""

    def log(self, type: str, message: str, *args: object) -> None:  # noqa: A002 - the name is given
        """Say nothing of what went well."""
        if type == "error":
            super().log(type, message, *args)

    def log_request(self, code: int | str = "-", size: int | str = "-") -> None:
        """Say nothing."""


@contextmanager
def serving(app: WSGIApplication) -> Iterator[str]:
    """Answer with ``app`` on a free port while the block runs; yield the address."""
    server = make_server("127.0.0.1", 0, app, threaded=True, request_handler=Quiet)
    running = threading.Thread(target=server.serve_forever, daemon=True)
    running.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        running.join(timeout=10)
        server.server_close()


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
