"""The description for machines follows the table that reads readings."""

from app.core.loggers import MEASURES, MOST_ITEMS, description
from app.core.loggers.items import FIELDS

WHOLE = description("http://localhost", "1")
SCHEMAS = WHOLE["components"]["schemas"]


def test_every_quantity_has_a_schema_for_each_of_its_units() -> None:
    said = [
        s["properties"]["quantity"]["const"]
        for s in SCHEMAS.values()
        if "quantity" in s.get("properties", {})
    ]
    assert said == [one.key for one in MEASURES.values() for _ in one.units]


def test_every_reading_names_the_fields_of_the_table_and_no_other() -> None:
    for ref in SCHEMAS["Reading"]["oneOf"]:
        schema = SCHEMAS[ref["$ref"].rsplit("/", 1)[1]]
        assert list(schema["properties"]) == [field.name for field in FIELDS]
        assert {field.name for field in FIELDS if field.needed} <= set(schema["required"])


def test_the_limit_of_the_list_is_said() -> None:
    assert SCHEMAS["Readings"]["oneOf"][1]["maxItems"] == MOST_ITEMS


def test_only_a_token_opens_it() -> None:
    assert WHOLE["paths"]["/api/readings"]["post"]["security"] == [{"token": []}]
