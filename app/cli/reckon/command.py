"""The command ``broodwater reckon SUBJECT``: JSON on standard input, JSON on standard output."""

import json
import os
import sys
from collections.abc import Sequence
from typing import BinaryIO, NoReturn

import click

from app.cli.reckon.registry import SUMMARIES, subject
from app.core.problems import Problem


class ReckonCommand(click.Command):
    """A command whose help ends with the list of subjects."""

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Write the subjects."""
        with formatter.section("Subjects"):
            formatter.write_dl(list(SUMMARIES.items()))


@click.command(cls=ReckonCommand)
@click.argument("name", metavar="SUBJECT", required=False, default="")
@click.option("--schema", is_flag=True, help="Print the JSON Schema of input and output, and read nothing.")
def reckon(name: str, schema: bool) -> None:
    """Reckon without a database, for scripts, spreadsheets and checks.

    Reads one JSON object, or an array of them, on standard input and writes the same shape on
    standard output. Dates are YYYY-MM-DD; the unit is in the key's name. Input that cannot be
    true ends with exit code 2, nothing on standard output and one line that says where it is and
    what is accepted.
    """
    try:
        click.echo(_answer(name, schema, sys.stdin.buffer))
    except Problem as problem:
        _refuse(problem.message)


def _answer(name: str, schema: bool, stdin: BinaryIO) -> str:
    if name not in SUMMARIES:
        what = f"no subject {json.dumps(name, ensure_ascii=False)}" if name else "no subject given"
        raise Problem(f"{what}; accepted: {', '.join(SUMMARIES)}")
    # the matrices are small: starting a thread for each core costs more than it saves
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    chosen = subject(name)
    if schema:
        return json.dumps(chosen.schema(), indent=2, ensure_ascii=False)
    given = parse(stdin.read())
    if isinstance(given, list):
        # each answer is written at once: a thousand of them as objects would crowd the memory
        return f"[{', '.join(chosen.line(item, index) for index, item in enumerate(given))}]"
    return chosen.line(given, 0)


def parse(raw: bytes) -> object:
    """Return what the bytes say as JSON; refuse NaN, infinities and keys given twice."""
    try:
        text = raw.decode("utf-8-sig")
        return json.loads(text, parse_constant=_no_constant, object_pairs_hook=_once)
    except UnicodeDecodeError:
        raise Problem("the input is not UTF-8 text; give JSON in UTF-8") from None
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise Problem(f"the input is not JSON ({error.msg}, {where}); give one object or an array") from None
    except Problem:
        raise
    except (ValueError, RecursionError):
        raise Problem("the input holds a number too long or lists too deep; give plain JSON") from None


def _no_constant(word: str) -> NoReturn:
    raise Problem(f"{word} is not a number; give a finite number, or leave the key out")


def _once(pairs: Sequence[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) == len(pairs):
        return found
    keys = [key for key, _ in pairs]
    twice = next(key for key in keys if keys.count(key) > 1)
    raise Problem(f"the key {json.dumps(twice, ensure_ascii=False)} stands twice in one object; give it once")


def _refuse(message: str) -> NoReturn:
    click.echo("broodwater reckon: " + " ".join(message.split()), err=True)
    raise click.exceptions.Exit(2)
