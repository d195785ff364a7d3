"""The repository's own files, as the rules of the house read them."""

import ast
import shutil
import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = ("app", "migrations", "seed_demo", "tests")


@cache
def python_files(*folders: str) -> tuple[Path, ...]:
    """Return every Python file below ``folders``, the whole repository's unless said."""
    found = [path for folder in folders or PACKAGES for path in (ROOT / folder).rglob("*.py")]
    return tuple(sorted(path for path in found if "__pycache__" not in path.parts))


@cache
def tree(path: Path) -> ast.Module:
    """Return the syntax tree of one file."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def name(path: Path) -> str:
    """Return a path as it reads from the top of the repository."""
    return path.relative_to(ROOT).as_posix()


@cache
def kept_files() -> tuple[Path, ...]:
    """Return the files under version control; without Git, everything that is no product of a run."""
    git = shutil.which("git")
    if git is not None and (ROOT / ".git").exists():
        words = (git, "-C", str(ROOT), "ls-files", "-z")
        listed = subprocess.run(words, capture_output=True, text=True, check=True)  # noqa: S603 - our own words
        paths = [ROOT / line for line in listed.stdout.split("\0") if line]
        return tuple(path for path in paths if path.exists())
    made = {"__pycache__", ".venv", "build", "dist", ".hypothesis"}
    below = [path for path in ROOT.rglob("*") if path.is_file()]
    return tuple(sorted(p for p in below if not made & set(p.parts) and not _cache_of_a_tool(p)))


def _cache_of_a_tool(path: Path) -> bool:
    return any(part.endswith(("_cache", ".egg-info")) for part in path.parts)
