"""What the pairing pages ask for."""

from wtforms import DateField, HiddenField, TextAreaField

from app.queries.pairing_choices import Choices
from app.queries.pairings import PairingPage
from app.queries.sections import Place
from app.web.forms.base import Form, needed, options
from app.web.forms.choosing import chips, picked, select, ticked


class PairingForm(Form):
    """A pairing to be made; ``looked`` holds what was looked over, so that nothing else is saved."""

    dam_ids = chips("Dams", [needed("Choose at least one dam.")])
    sire_ids = chips("Sires", [needed("Choose at least one sire.")])
    section_id = select("Where", [needed("Where are they put together? Choose a tank or section.")])
    started_on = DateField("Together from", [needed("From which day?")])
    project_id = select("Project")
    note = TextAreaField("Note")
    looked = HiddenField()

    def offer(self, found: Choices) -> None:
        """Fill in who and what can be chosen."""
        places = [(str(place.section_id), place.words) for place in found.places]
        self.section_id.choices = options([("", "Choose"), *places])
        self.dam_ids.choices = options((str(dam.id), dam.words) for dam in found.dams)
        self.sire_ids.choices = options((str(sire.id), sire.words) for sire in found.sires)
        projects = [(str(number), aim) for number, aim in found.projects]
        self.project_id.choices = options([("", "None"), *projects])

    @property
    def chosen(self) -> str:
        """What was chosen, to be known again."""
        day = self.started_on.data
        dams, sires = sorted(ticked(self.dam_ids)), sorted(ticked(self.sire_ids))
        return f"{picked(self.section_id)} {dams} {sires} {day}"


class EndForm(Form):
    """The end of a pairing."""

    on = DateField("Ended on", [needed("On which day?")], id="end-on")
    males_to = select("Males moved to")

    def offer(self, places: list[Place], page: PairingPage) -> None:
        """Fill in where the males can go."""
        away = [(str(each.section_id), each.words) for each in places if each.section_id != page.section_id]
        self.males_to.choices = options([("", "They stay"), *away])


class JoinForm(Form):
    """One more fish for a pairing."""

    fish_id = select("Fish", [needed("Which fish?")], id="join-fish")
    on = DateField("Joined on", [needed("On which day?")], id="join-on")

    def offer(self, found: Choices) -> None:
        """Fill in who is free."""
        free = [(str(fish.id), fish.words) for fish in (*found.dams, *found.sires)]
        self.fish_id.choices = options([("", "Choose"), *free])


class LeaveForm(Form):
    """A fish that is taken out of a pairing."""

    fish_id = select("Fish", [needed("Which fish?")], id="leave-fish")
    on = DateField("Taken out on", [needed("On which day?")], id="leave-on")
    to_section_id = select("Moved to")

    def offer(self, places: list[Place], page: PairingPage) -> None:
        """Fill in who is in, and where it can go."""
        members = [(str(fish.id), fish.label) for fish in (*page.shown.dams, *page.shown.sires)]
        self.fish_id.choices = options([("", "Choose"), *members])
        away = [(str(each.section_id), each.words) for each in places if each.section_id != page.section_id]
        self.to_section_id.choices = options([("", "Stays where it is"), *away])
