"""A subject loads its own models and no more, so that a call costs what it reckons."""

import subprocess
import sys

import pytest

HEAVY = ("sqlalchemy", "flask", "wtforms", "alembic", "jinja2", "pint")
OTHERS = {
    "birth": ("scipy", "app.core.growth", "app.core.sexing", "app.core.scoring", "app.core.lineage"),
    "ratio": ("app.core.births", "app.core.growth"),
    "salt": ("scipy", "numpy.random", "app.core.births", "app.core.growth"),
    "kinship": ("app.core.births", "app.core.growth", "scipy.sparse"),
}


def loaded(subject: str) -> set[str]:
    """Return the modules that a call for a subject's schema leaves in memory."""
    run = (
        "import sys\n"
        "from app.__main__ import main\n"
        f"sys.argv = ['broodwater', 'reckon', '{subject}', '--schema']\n"
        "try:\n"
        "    main()\n"
        "finally:\n"
        "    print(*sys.modules, file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", run], capture_output=True, text=True, check=True)  # noqa: S603
    return set(done.stderr.split())


@pytest.mark.parametrize("subject", OTHERS)
def test_a_subject_leaves_the_database_the_web_and_other_models_alone(subject: str) -> None:
    found = loaded(subject)
    assert f"app.cli.reckon.{subject}" in found
    assert not found.intersection(HEAVY + OTHERS[subject])
