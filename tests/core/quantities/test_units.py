"""Units come from pint's tables, and pint is loaded only when one is asked for."""

import subprocess
import sys

import pytest

from app.core.quantities.units import LENGTHS, MASSES, VOLUMES, factor
from tests.reference.published import case


@pytest.mark.parametrize(("table", "target"), [(VOLUMES, "litre"), (LENGTHS, "millimetre"), (MASSES, "gram")])
def test_every_spelling_names_a_unit_of_its_kind(table: dict[str, str], target: str) -> None:
    assert all(factor(unit, target) > 0 for unit in table.values())


def test_a_us_teaspoon_is_a_sixth_of_a_fluid_ounce() -> None:
    assert factor("teaspoon", "millilitre") == pytest.approx(case("1.UNIT.4").expected, abs=1e-9)


def test_importing_the_quantities_does_not_load_pint() -> None:
    code = "import sys, app.core.quantities as q; q.parse_volume('3 L'); print('pint' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)  # noqa: S603
    assert run.stdout.strip() == "False"
