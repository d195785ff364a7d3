"""Files and functions stay small enough to be read in one go."""

import ast
from pathlib import Path
from statistics import median

from tests.repo.sources import ROOT, name, python_files, tree

LONGEST_FILE = 500
USUAL_FILE = 300
LONGEST_FUNCTION = 50
MEDIAN_FUNCTION = 8
GENERATED = "migrations/versions/"
WRITTEN = tuple(path for path in python_files() if not name(path).startswith(GENERATED))
FRONT = tuple(
    sorted(
        path
        for pattern in ("templates/**/*.html", "static/css/*.css", "static/js/*.js")
        for path in ROOT.glob(pattern)
    )
)


def lines(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())


def functions(path: Path) -> list[tuple[str, int]]:
    """Return every function of a file with its length in lines."""
    return [
        (f"{name(path)}:{node.lineno} {node.name}", (node.end_lineno or node.lineno) - node.lineno + 1)
        for node in ast.walk(tree(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]


def test_no_file_is_longer_than_five_hundred_lines() -> None:
    assert {name(path): lines(path) for path in (*WRITTEN, *FRONT) if lines(path) > LONGEST_FILE} == {}


def test_nine_files_in_ten_are_shorter_than_three_hundred_lines() -> None:
    longer = [name(path) for path in WRITTEN if lines(path) > USUAL_FILE]
    assert len(longer) <= len(WRITTEN) / 10, longer


def test_no_function_is_longer_than_fifty_lines() -> None:
    sizes = [each for path in WRITTEN for each in functions(path)]
    assert {where: size for where, size in sizes if size > LONGEST_FUNCTION} == {}


def test_half_the_functions_of_the_application_are_a_few_lines() -> None:
    sizes = [size for path in python_files("app") for _, size in functions(path)]
    assert median(sizes) <= MEDIAN_FUNCTION


def test_every_module_opens_with_a_sentence() -> None:
    first = {name(path): (ast.get_docstring(tree(path)) or "").split("\n\n")[0] for path in WRITTEN}
    assert [where for where, said in first.items() if not said.rstrip().endswith(".")] == []
