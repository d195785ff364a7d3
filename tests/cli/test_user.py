"""People are given access from the terminal, and nobody falls into another's fishroom by its name."""

from pathlib import Path

import pytest
from sqlalchemy import select

from app.cli.database import opened
from app.config import read
from app.services import accounts
from app.store.fishrooms import Fishroom
from app.store.users import Membership, User
from tests.cli.conftest import Run

PASSWORD = "a long enough password\n"


@pytest.fixture
def cellar(run: Run) -> None:
    """A fishroom with a keeper."""
    result = run("user", "add", "k@fish.example", "--fishroom", "Cellar", "--password-stdin", stdin=PASSWORD)
    assert result.exit_code == 0, result.output


def members() -> list[tuple[str, str, str]]:
    statement = (
        select(User.email, Fishroom.name, Membership.role)
        .join(Membership, Membership.user_id == User.id)
        .join(Fishroom, Fishroom.id == Membership.fishroom_id)
        .order_by(Membership.id)
    )
    with opened(read()) as session:
        return [(email, room, role.value) for email, room, role in session.execute(statement)]


@pytest.mark.usefixtures("cellar")
def test_a_keeper_gets_a_new_fishroom_and_can_sign_in() -> None:
    assert members() == [("k@fish.example", "Cellar", "keeper")]
    with opened(read()) as session:
        assert accounts.sign_in(session, "k@fish.example", PASSWORD.strip()) is not None


@pytest.mark.usefixtures("cellar")
def test_a_helper_joins_a_fishroom_that_is_there(run: Run) -> None:
    words = ("user", "add", "h@fish.example", "--fishroom", "Cellar", "--role", "helper", "--password-stdin")
    assert run(*words, stdin=PASSWORD).exit_code == 0
    assert members()[1] == ("h@fish.example", "Cellar", "helper")


@pytest.mark.usefixtures("cellar")
def test_a_second_keeper_does_not_fall_into_a_fishroom_of_the_same_name(run: Run) -> None:
    words = ("user", "add", "o@fish.example", "--fishroom", "Cellar", "--password-stdin")
    result = run(*words, stdin=PASSWORD)
    assert result.exit_code == 1
    assert "There is a fishroom Cellar already" in result.output
    assert len(members()) == 1
    assert run(*words, "--join", stdin=PASSWORD).exit_code == 0
    assert members()[1] == ("o@fish.example", "Cellar", "keeper")


@pytest.mark.usefixtures("cellar")
def test_an_account_that_is_there_needs_no_password(run: Run) -> None:
    assert run("user", "add", "K@fish.example ", "--fishroom", "Attic").exit_code == 0
    assert members()[1] == ("k@fish.example", "Attic", "keeper")


def test_a_helper_of_no_fishroom_is_refused(run: Run) -> None:
    result = run(
        "user", "add", "h@x.example", "--fishroom", "Nowhere", "--role", "helper", "--password-stdin",
        stdin=PASSWORD,
    )  # fmt: skip
    assert result.exit_code == 1
    assert "no fishroom called Nowhere" in result.output
    assert members() == []


@pytest.mark.parametrize(
    ("email", "password", "words"),
    [
        ("k@fish.example", "short\n", "at least 10 characters"),
        ("k@fish.example", "", "No password on standard input"),
        ("kfish.example", PASSWORD, "is not an e-mail address"),
    ],
)
def test_what_cannot_be_an_account_is_refused(run: Run, email: str, password: str, words: str) -> None:
    result = run("user", "add", email, "--fishroom", "Cellar", "--password-stdin", stdin=password)
    assert result.exit_code in {1, 2}
    assert words in result.output


def test_the_folder_of_the_database_is_made(run: Run, data: Path) -> None:
    run("user", "add", "k@fish.example", "--fishroom", "Cellar", "--password-stdin", stdin=PASSWORD)
    assert (data / "broodwater.sqlite3").exists()
