"""Forebears with the addresses of their pages, for the drawing of a pedigree."""

from dataclasses import dataclass

from flask import url_for

from app.queries.lineage import Forebear


@dataclass(frozen=True, slots=True)
class Node:
    """A fish in the drawing."""

    name: str
    url: str | None
    sex: str
    detail: str
    dam: "Node | None"
    sire: "Node | None"


def linked(of: Forebear, endpoint: str, *, root: bool = True) -> Node:
    """Return a tree whose nodes, but for the root, lead to ``endpoint``."""
    return Node(
        of.name,
        None if root else url_for(endpoint, fish_id=of.id),
        of.sex,
        of.detail,
        linked(of.dam, endpoint, root=False) if of.dam is not None else None,
        linked(of.sire, endpoint, root=False) if of.sire is not None else None,
    )
