"""What loggers send: the quantities, the fields of one reading, and their description for machines."""

from app.core.loggers.description import description
from app.core.loggers.items import AHEAD, MOST_ITEMS, OLDEST_YEARS, Sent, TooMany, read_items
from app.core.loggers.measures import MEASURES, Measured

__all__ = [
    "AHEAD",
    "MEASURES",
    "MOST_ITEMS",
    "OLDEST_YEARS",
    "Measured",
    "Sent",
    "TooMany",
    "description",
    "read_items",
]
