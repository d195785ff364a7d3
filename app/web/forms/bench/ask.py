"""A question in an address: a form that is sent by GET, answered at once, and keeps nothing."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from flask import request
from wtforms import Field
from wtforms import Form as WtForm

from app.core.problems import Problem
from app.queries.bench.answers import Answer
from app.store.actor import Actor
from app.web.forms.base import Form
from app.web.signin import actor


@dataclass(frozen=True, slots=True)
class Group:
    """Fields that stand together under a title, or behind one that opens; the hint tells why."""

    title: str
    names: tuple[str, ...]
    folded: bool = False
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Fields:
    """One group with its fields."""

    title: str
    hint: str
    folded: bool
    fields: tuple[Field, ...]

    @property
    def open(self) -> bool:
        """Whether a folded group must be seen: something in it was refused, or is not as usual."""
        return any(field.errors or (_typed(field) and field.data != field.default) for field in self.fields)


def _typed(field: Field) -> bool:
    return bool(field.raw_data and field.raw_data[0])


class AskForm(Form):
    """A question read from the address, so that the answer can be shared."""

    groups: ClassVar[tuple[Group, ...]] = ()
    called: ClassVar[Mapping[str, str]] = {}
    """What the reckoning calls an input, and what the form calls it."""

    class Meta:
        """Nothing is changed, so there is nothing to guard."""

        csrf = False

    def __init__(self, filled: Mapping[str, Any] | None = None) -> None:
        """Read the address when it holds any of the fields; the rest is as a tank has it, or as usual."""
        usual = {**self.usual(actor()), **(filled or {})}
        WtForm.__init__(self, formdata=request.args or None, **usual)
        self.asked = any(field.name in request.args for field in self)
        for field in self:
            if field.name not in request.args:
                field.process(None, usual.get(field.name, field.default))

    def usual(self, _actor: Actor) -> dict[str, Any]:
        """Return what the fields hold before anything is asked, where it depends on the day."""
        return {}

    def answered(self) -> Answer | None:
        """Return the answer; nothing when nothing is asked or something was refused."""
        if not self.asked or not self.validate():
            return None
        try:
            return self.answer(actor())
        except Problem as problem:
            self.refuse(problem)
            return None

    def answer(self, actor: Actor) -> Answer:
        """Reckon; every calculator has its own."""
        raise NotImplementedError

    def refuse(self, problem: Problem) -> None:
        """Put a refusal on the field the form has for what the reckoning names."""
        super().refuse(Problem(problem.message, self.called.get(problem.field, problem.field)))

    def laid_out(self) -> tuple[Fields, ...]:
        """Return the groups with their fields; without groups, all fields in one."""
        if not self.groups:
            return (Fields("", "", folded=False, fields=tuple(self)),)
        return tuple(
            Fields(group.title, group.hint, group.folded, tuple(self[name] for name in group.names))
            for group in self.groups
        )
