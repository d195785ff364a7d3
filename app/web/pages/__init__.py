"""Pages and the acts posted from them: one file a noun."""

from importlib import import_module
from pkgutil import iter_modules

from flask import Flask


def register(app: Flask) -> None:
    """Bring in every page module's blueprint, called ``pages``."""
    for module in iter_modules(__path__):
        app.register_blueprint(import_module(f"{__name__}.{module.name}").pages)
