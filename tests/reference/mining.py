"""Reads an export with a process-mining library and compares its figures with ours.

    python mining.py EXPORT.ocel.json EXPORT.lines.jsonl

The library (pm4py) reads the OCEL 2.0 JSON by its own rules; the JSON lines are read here. Both must
count the same events by type, the same jobs, and the same time from a job's first event to its last.
"""

import json
import sys
from collections import Counter, defaultdict
from datetime import datetime

import pm4py


def ours(path):
    """Counts the lines by verb, and those that were crossed out as that, from the JSON lines."""
    kinds = Counter()
    with open(path, encoding="utf-8") as lines:
        for line in map(json.loads, lines):
            if line["refused"]:
                continue
            kinds["crossed-out" if line["struck"] else line["words"].split(" ")[0]] += 1
    return kinds


def main():
    ocel_path, lines_path = sys.argv[1:3]
    log = pm4py.read_ocel2_json(ocel_path)
    kinds = Counter(log.events[log.event_activity])
    expected = ours(lines_path)
    wrong = {
        kind: (kinds[kind], expected[kind])
        for kind in kinds | expected
        if kinds[kind] != expected[kind]
    }
    with open(ocel_path, encoding="utf-8") as file:
        raw = json.load(file)
    jobs = {one["id"] for one in raw["objects"] if one["type"] == "job"}
    flat = pm4py.ocel_flattening(log, "job")
    read = set(flat["case:concept:name"])
    spans = defaultdict(list)
    for event in raw["events"]:
        for to in event["relationships"]:
            if to["objectId"] in jobs:
                spans[to["objectId"]].append(datetime.fromisoformat(event["time"]))
    longest = 0
    for job, times in flat.groupby("case:concept:name")["time:timestamp"]:
        theirs = (times.max() - times.min()).total_seconds()
        mine = (max(spans[job]) - min(spans[job])).total_seconds()
        longest = max(longest, theirs)
        if abs(theirs - mine) > 0.001:
            wrong[job] = (theirs, mine)
    if wrong or read != jobs or not jobs:
        sys.exit(f"the library and the shop differ: {wrong or (read, jobs)}")
    print(f"{sum(kinds.values())} events of {len(kinds)} types, {len(jobs)} jobs, "
          f"the longest {longest / 3600:.1f} h: the library and the shop agree")


if __name__ == "__main__":
    main()
