"""What each calculator of the water bench asks for, by the name in its address."""

from collections.abc import Mapping
from types import MappingProxyType

from app.web.forms.bench.ask import AskForm
from app.web.forms.bench.breathing import AmmoniaForm, NitrateForm, OxygenForm
from app.web.forms.bench.changes import BlendForm, ChangesForm, LabelForm, MineralsForm
from app.web.forms.bench.fish import AcclimationForm, HatchForm
from app.web.forms.bench.salt import GravityForm, StrengthForm, TargetForm, TopUpForm

FORMS: Mapping[str, type[AskForm]] = MappingProxyType(
    {
        "salt": TargetForm,
        "salt-top-up": TopUpForm,
        "salt-strength": StrengthForm,
        "gravity": GravityForm,
        "changes": ChangesForm,
        "blend": BlendForm,
        "minerals": MineralsForm,
        "label": LabelForm,
        "ammonia": AmmoniaForm,
        "nitrate": NitrateForm,
        "oxygen": OxygenForm,
        "acclimation": AcclimationForm,
        "brine-shrimp": HatchForm,
    }
)
