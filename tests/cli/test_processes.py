"""The commands in processes of their own, as a person starts and ends them."""

import re
import signal
from pathlib import Path

import pytest

from tests.cli.test_demo import LINE
from tests.cli.test_serve import FIRST, PASSWORD
from tests.support.server import browser, command, line_with, status

pytestmark = pytest.mark.slow
ANSWERS = re.compile(r"answers on (http://127\.0\.0\.1:\d+) ")


@pytest.fixture(autouse=True)
def noon() -> None:
    """Leave the clock alone: whoever waits for a process needs real time."""


def test_the_link_of_the_demo_signs_in_once_and_only_once(tmp_path: Path) -> None:
    with command("demo", "--data", str(tmp_path)) as process:
        found = LINE.fullmatch(process.stdout.readline()) if process.stdout else None
        assert found, process.stderr and process.stderr.read()
        link, tanks = found[0].strip(), f"http://127.0.0.1:{found[1]}/tanks"
        keeper, late = browser(), browser()
        assert status(link, keeper) == 200
        assert status(link, late) == 410
        with keeper.open(tanks, timeout=30) as seen:
            assert seen.url == tanks
        with late.open(tanks, timeout=30) as asked:
            assert "/sign-in?next=" in asked.url
        process.send_signal(signal.SIGTERM)
        rest, _ = process.communicate(timeout=30)
        assert (process.returncode, rest) == (0, "")


def test_a_real_server_starts_twice_answers_and_ends_when_told(tmp_path: Path) -> None:
    for words, stdin in ((FIRST, f"{PASSWORD}\n"), (("serve", "--port", "0"), "")):
        with command(*words, stdin=stdin, BROODWATER_DATA=str(tmp_path)) as process:
            address = line_with(process.stderr, ANSWERS)[1]
            assert status(f"{address}/healthz") == 200
            assert status(f"{address}/no-such-page") == 404
            with browser().open(address, timeout=30) as asked:
                assert "/sign-in" in asked.url
            process.send_signal(signal.SIGTERM)
            printed, _ = process.communicate(timeout=30)
            assert (process.returncode, printed) == (0, "")


def test_whoever_reads_the_address_can_end_the_server_at_once(tmp_path: Path) -> None:
    with command(*FIRST, stdin=f"{PASSWORD}\n", BROODWATER_DATA=str(tmp_path)) as process:
        line_with(process.stderr, ANSWERS)
        process.send_signal(signal.SIGTERM)
        process.communicate(timeout=30)
        assert process.returncode == 0
