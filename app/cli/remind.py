"""The command ``broodwater remind``: send the morning messages that are due, once over all fishrooms."""

import click

from app.cli.database import prepare
from app.cli.keys import with_key
from app.cli.reminding import passing
from app.cli.terminal import settings, tell
from app.core.wording import many
from app.store.channels import DeliveryState

WORDS = {
    DeliveryState.SENT: "sent",
    DeliveryState.RETRY: "to be tried again",
    DeliveryState.FAILED: "failed",
    DeliveryState.CLAIMED: "perhaps sent",
    DeliveryState.NOTHING: "with nothing to say",
}


@click.command()
def remind() -> None:
    """Send the morning messages that are due, once over all fishrooms.

    For cron or a systemd timer, every few minutes. `serve` does the same by itself every minute,
    unless BROODWATER_REMIND is `no`. Both at once do no harm: no message goes twice.
    """
    config = with_key(settings())
    prepare(config)
    with passing(config) as going:
        stands = going.once()
    parts = [f"{stands[state]} {words}" for state, words in WORDS.items() if stands[state]]
    tell(f"{many(stands.total(), 'message')} due" + (f": {', '.join(parts)}." if parts else "."))
