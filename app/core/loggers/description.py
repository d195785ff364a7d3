"""The description of the interface for machines (OpenAPI 3.1), written from the table that reads readings."""

from typing import Any

from app.core.loggers.items import FIELDS, MOST_ITEMS
from app.core.loggers.measures import MEASURES, Measured, Unit

PATH = "/api/readings"
MOST_BYTES = 4 * 1024 * 1024
Schema = dict[str, Any]


def description(server: str, version: str) -> Schema:
    """Return the whole description; ``server`` is where the interface is reached."""
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Broodwater: readings of loggers",
            "version": version,
            "description": "Sensors send what they measured. Sending again what was sent changes nothing.",
        },
        "servers": [{"url": server}],
        "paths": {PATH: {"post": _post()}},
        "components": {
            "securitySchemes": {
                "token": {
                    "type": "http",
                    "scheme": "bearer",
                    "description": "A logger's token, shown once when the logger was added; "
                    "it stores readings and can do nothing else.",
                }
            },
            "schemas": _schemas(),
        },
    }


def _post() -> Schema:
    return {
        "operationId": "store_readings",
        "summary": "Store one reading or many",
        "description": "A reading is known by logger, tank, quantity and moment: one that is there "
        "already is counted as repeated, and what was stored first stays. All or nothing: "
        "one that cannot be refuses the whole message.",
        "security": [{"token": []}],
        "requestBody": {
            "required": True,
            "description": f"At most {MOST_ITEMS} readings and {MOST_BYTES // 1024**2} MB.",
            "content": {"application/json": {"schema": {"$ref": "#/components/schemas/Readings"}}},
        },
        "responses": {
            "200": _answer("Stored, or there already", "Stored"),
            **{code: _answer(words, "Problem") for code, words in REFUSALS.items()},
        },
    }


REFUSALS = {
    "400": "The body is not JSON",
    "401": "The token is missing, wrong or revoked",
    "413": f"More than {MOST_ITEMS} readings or {MOST_BYTES // 1024**2} MB",
    "415": "The body is not called application/json",
    "422": "A reading cannot be; field names the item and the key, like items[3].value",
    "429": "Too many messages; Retry-After says how many seconds to wait",
}


def _answer(words: str, schema: str) -> Schema:
    ref = {"$ref": f"#/components/schemas/{schema}"}
    return {"description": words, "content": {"application/json": {"schema": ref}}}


def _schemas() -> Schema:
    readings = {
        _name(measured, unit): _reading(measured, unit)
        for measured in MEASURES.values()
        for unit in measured.units
    }
    item = {"$ref": "#/components/schemas/Reading"}
    return {
        **readings,
        "Reading": {"oneOf": [{"$ref": f"#/components/schemas/{name}"} for name in readings]},
        "Readings": {
            "oneOf": [item, {"type": "array", "items": item, "minItems": 1, "maxItems": MOST_ITEMS}]
        },
        "Stored": _exactly({"stored": _count(), "repeated": _count()}, ["stored", "repeated"]),
        "Problem": _exactly({"error": {"type": "string"}, "field": {"type": "string"}}, ["error"]),
    }


def _count() -> Schema:
    return {"type": "integer", "minimum": 0}


def _exactly(properties: Schema, required: list[str]) -> Schema:
    return {
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": False,
    }


def _name(measured: Measured, unit: Unit) -> str:
    """Return such as ``total_ammonia_in_mg_L_NH3``."""
    words = f"{measured.key} in {unit.names[0]}"
    return "".join(letter if letter.isalnum() else "_" for letter in words)


def _reading(measured: Measured, unit: Unit) -> Schema:
    """Describe readings of one quantity in one unit, with the range that it may have."""
    narrower: dict[str, Schema] = {
        "quantity": {"const": measured.key},
        "value": {"minimum": unit.lowest, "maximum": unit.highest},
        "unit": {"enum": [*unit.names]},
    }
    properties = {
        field.name: {**field.schema, "description": field.words, **narrower.get(field.name, {})}
        for field in FIELDS
    }
    needed = [field.name for field in FIELDS if field.needed]
    if unit is not measured.usual:
        needed.append("unit")
    return {**_exactly(properties, needed), "description": f"{measured.key}, kept as {measured.words}"}
