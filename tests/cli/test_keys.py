"""The server's key is made once and kept from others."""

from dataclasses import replace
from pathlib import Path

from app.cli.keys import kept_key, with_key
from app.config import Config


def test_a_key_is_made_once_and_read_back(tmp_path: Path) -> None:
    first = kept_key(tmp_path / "new")
    assert len(first) >= 48
    assert kept_key(tmp_path / "new") == first


def test_a_key_can_be_read_by_its_owner_only(tmp_path: Path) -> None:
    kept_key(tmp_path)
    assert (tmp_path / "secret-key").stat().st_mode & 0o777 == 0o600


def test_two_folders_have_two_keys(tmp_path: Path) -> None:
    assert kept_key(tmp_path / "a") != kept_key(tmp_path / "b")


def test_a_key_that_was_set_is_left_alone(tmp_path: Path) -> None:
    config = Config(tmp_path, "sqlite://", secret_key="mine")
    assert with_key(config) == config
    assert list(tmp_path.iterdir()) == []
    assert with_key(replace(config, secret_key="")).secret_key == kept_key(tmp_path)
