"""Checks layout files against the JSON Schema: schema.py SCHEMA LAYOUT..."""

import datetime
import json
import sys
import tomllib

import jsonschema


def as_json(value):
    """TOML dates are text in JSON."""
    match value:
        case dict():
            return {key: as_json(inner) for key, inner in value.items()}
        case list():
            return [as_json(inner) for inner in value]
        case datetime.date():
            return value.isoformat()
        case _:
            return value


schema = json.load(open(sys.argv[1], encoding="utf-8"))
kind = jsonschema.validators.validator_for(schema)
kind.check_schema(schema)
validator = kind(schema)
faults = 0
for path in sys.argv[2:]:
    with open(path, "rb") as file:
        layout = as_json(tomllib.load(file))
    for fault in validator.iter_errors(layout):
        print(f"{path}: {fault.json_path}: {fault.message}", file=sys.stderr)
        faults += 1
    # A schema that accepts everything proves nothing.
    layout["no-such-table"] = {}
    if validator.is_valid(layout):
        print(f"{path}: an unknown table passes", file=sys.stderr)
        faults += 1
print(f"schema: {len(sys.argv) - 2} layouts, {faults} faults")
sys.exit(faults > 0)
