"""What lies at the top, what the settings' table says, and what never belongs in a file."""

import re
import shutil
import subprocess
import tomllib

import pytest

from app.config import SETTINGS
from tests.repo.sources import ROOT, kept_files, name

TOP = {
    "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "constraints.txt",
    "app", "migrations", "templates", "static", "tests", "seed_demo",
    ".ci", ".gitignore",
}  # fmt: skip
PICTURES = {".png", ".jpg", ".jpeg", ".webp", ".ico", ".woff2", ".pdf"}
HOSTS = ("py" + "pi.org", "python" + "hosted", "registry." + "npm", "deb." + "debian")
FOLDERS = (
    "/wo" + "rk/",
    "/fa" + "rm/",
    "/ro" + "ot/",
    "/ho" + "me/",
    "/Us" + "ers/",
    "C:" + "\\",
    "bash_" + "jobs",
)
ELSEWHERE = re.compile(
    "|".join(re.escape(word) for word in (*HOSTS, *FOLDERS, "bash_" + "jobs")), re.IGNORECASE
)
VENDORED = "static/vendor/"
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_only_known_things_lie_at_the_top() -> None:
    assert {name(path).split("/")[0] for path in kept_files()} == TOP


def test_no_file_names_a_machine_or_a_registry() -> None:
    texts = [p for p in kept_files() if p.suffix not in PICTURES and not name(p).startswith(VENDORED)]
    found = {name(path): ELSEWHERE.findall(path.read_text(encoding="utf-8")) for path in texts}
    assert {where: what for where, what in found.items() if what} == {}


def test_a_path_of_a_machine_would_be_found() -> None:
    assert ELSEWHERE.findall("see /ho" + "me/me/fish and https://py" + "pi.org/simple")


def test_the_readme_lists_the_settings_as_they_are() -> None:
    rows = re.findall(r"^\| `(BROODWATER_\w+)` \| (.*?) \| (.*?) \|$", README, flags=re.MULTILINE)
    told = [(row.name, f"`{row.default}`" if row.default else "", row.meaning) for row in SETTINGS]
    assert rows == told


def test_constraints_hold_names_and_versions_only() -> None:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    assert len(lines) > 30
    assert [line for line in lines if not re.fullmatch(r"[\w.-]+==[\w.]+", line)] == []
    assert lines == sorted(lines, key=str.lower)


def test_constraints_pin_everything_that_is_asked_for() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = [
        *project["dependencies"],
        *(each for group in project["optional-dependencies"].values() for each in group),
    ]
    names = {_plain(re.split(r"[\[<>=~!]", each)[0]) for each in asked}
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    assert names - {_plain(line.split("==")[0]) for line in lines} == set()


def _plain(distribution: str) -> str:
    return re.sub(r"[-_.]+", "-", distribution).lower()


def test_every_rule_that_is_not_followed_has_its_reason() -> None:
    pyproject = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    lint = pyproject.split("[tool.ruff.lint]")[1].split("[tool.ruff.lint.pydocstyle]")[0]
    quoted = [line for line in lint.splitlines() if re.search(r'"[A-Z]{1,4}\d{3}', line)]
    assert len(quoted) > 20
    assert [line for line in quoted if not re.search(r"#\s+\w.{8,}", line)] == []


def command_below(heading: str) -> list[str]:
    block = README.split(f"\n## {heading}\n")[1].split("```")[1]
    return block.split("\n", 1)[1].strip().splitlines()


def test_the_readme_begins_with_one_command_to_run_and_one_to_test() -> None:
    for heading in ("Run it", "Test it"):
        assert len(command_below(heading)) == 1
    assert README.index("## Run it") < README.index("## Test it")
    assert README.index("```") > README.index("## Run it")


@pytest.mark.parametrize("heading", ["Run it", "Test it"])
def test_what_ci_runs_is_what_the_readme_says(heading: str) -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    reads = re.search(r"^first_block\(\) \{.*?^\}", script, flags=re.MULTILINE | re.DOTALL)
    assert reads
    assert f"$(first_block '{heading}')" in script
    bash = shutil.which("bash") or "bash"
    words = (bash, "-c", f"{reads[0]}\nfirst_block '{heading}'")
    told = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True)  # noqa: S603 - our own words
    assert told.stdout.splitlines() == command_below(heading)
