"""Holds an export against the published schema of OCEL 2.0, and the rules that a schema cannot say.

    python ocel_schema.py EXPORT.ocel.json...

`ocel20-schema.json` asks what the schema at https://www.ocel-standard.org/2.0/ocel20-schema-json.json asks (draft-07,
as of August 2026). The rest is of the specification (Berti et al., "OCEL 2.0 Specification", section 8): names of
types are declared once, attributes by the declared name, values of the declared type, ids are unique, and
relations lead to objects that are there.
"""

import json
import sys
from datetime import datetime
from pathlib import Path

from jsonschema import Draft7Validator, FormatChecker

KINDS = {"string", "time", "integer", "float", "boolean"}


def declared(types, what, wrong):
    names = [one["name"] for one in types]
    if len(set(names)) != len(names):
        wrong.append(f"{what}: a type is declared twice")
    for one in types:
        wrong += [f"{one['name']}: {a['type']}" for a in one["attributes"] if a["type"] not in KINDS]
    return {one["name"]: {a["name"] for a in one["attributes"]} for one in types}


def check(log):
    schema = json.loads((Path(__file__).parent / "ocel20-schema.json").read_text(encoding="utf-8"))
    validator = Draft7Validator(schema, format_checker=FormatChecker())
    wrong = [f"{'/'.join(map(str, e.absolute_path))}: {e.message}" for e in validator.iter_errors(log)]
    if wrong:
        return wrong
    types = declared(log["eventTypes"], "events", wrong), declared(log["objectTypes"], "objects", wrong)
    objects = {one["id"] for one in log["objects"]}
    for of, all_of in zip(types, (log["events"], log["objects"]), strict=True):
        ids = [one["id"] for one in all_of]
        if len(set(ids)) != len(ids):
            wrong.append("an id is given twice")
        for one in all_of:
            if one["type"] not in of:
                wrong.append(f"{one['id']}: {one['type']} is not declared")
                continue
            for attribute in one.get("attributes", []):
                if attribute["name"] not in of[one["type"]]:
                    wrong.append(f"{one['id']}: {attribute['name']} is not declared for {one['type']}")
                if "time" in attribute:
                    datetime.fromisoformat(attribute["time"])
            for to in one.get("relationships", []):
                if to["objectId"] not in objects:
                    wrong.append(f"{one['id']}: {to['objectId']} is not there")
            if "time" in one:
                datetime.fromisoformat(one["time"])
    return wrong


def main():
    for path in sys.argv[1:]:
        log = json.loads(Path(path).read_text(encoding="utf-8"))
        wrong = check(log)
        if wrong:
            sys.exit(f"{path}: {len(wrong)} things are not as the standard has them: {wrong[:5]}")
        print(f"{len(log['events'])} events and {len(log['objects'])} objects are as OCEL 2.0 has them")


if __name__ == "__main__":
    main()
