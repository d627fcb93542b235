"""Counts a season again, from the exported lines alone, and compares with what `burrline tally` says.

    python tally.py LINES.jsonl EARNED.json SKULL-DAYS.json SECOND-GOES.json

The four files are what these write of one shop, each skull of which has a tag of its own, as in
`burrline-shop demo --heads 400`:

    burrline export lines --out LINES.jsonl
    burrline tally earned by species --json > EARNED.json
    burrline tally skull-days --json > SKULL-DAYS.json
    burrline tally second-goes by species --json > SECOND-GOES.json

Money, bench hours, skull-days by week and place, and how often a head went into a pot twice are worked
out here with nothing of Burrline's; limits are Wilson's by scipy where it is there. What waters cost is not.
"""

import json
import re
import sys
from collections import defaultdict
from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

# Minutes a step where an owner set none; as the program's own list has them.
STEPS = {"take-in": 8, "flesh": 25, "wrap": 4, "wash": 12, "glue": 6, "whiten": 8, "coat": 8,
         "inspect": 4, "hand-over": 6, "ship": 6}
PLACES = {"pot": 12, "tank": 10, "tub": 8, "rack": 3}


def read(path):
    with open(path, encoding="utf-8") as file:
        return [json.loads(line) for line in file if line.strip()]


def table(path):
    """The rows of a tally, each with its cells by the names of their columns."""
    with open(path, encoding="utf-8") as file:
        told = json.load(file)
    return [dict(zip(told["columns"], row["cells"])) for row in told["rows"]]


def minutes(text):
    """`4h`, `345min` or `1d` in minutes."""
    number, unit = re.fullmatch(r"([\d.]+)\s*([a-z]+)", text).groups()
    return float(number) * {"min": 1, "h": 60, "d": 1440}[unit]


class Season:
    """The lines that count, in the order of happening."""

    def __init__(self, path):
        self.species, self.charged, self.ended = {}, defaultdict(Decimal), set()
        self.minutes, self.kinds, self.goes = defaultdict(float), {}, defaultdict(int)
        self.clean, self.where, self.stays, self.hours = set(), {}, [], 0.0
        lines = [line for line in read(path) if not line["struck"] and not line["refused"]]
        lines.sort(key=lambda line: datetime.fromisoformat(line["happened"]["at"]))
        zone = next((re.search(r"--value (\S+)", line["words"])[1] for line in lines
                     if line["words"].startswith("set-shop --setting zone ")), "UTC")
        self.zone = ZoneInfo(zone)
        self.now = self.moment(lines[-1])
        for line in lines:
            verb, _, rest = line["words"].partition(" ")
            self.line(verb, rest, self.moment(line))

    def moment(self, line):
        return datetime.fromisoformat(line["happened"]["at"]).astimezone(self.zone)

    def line(self, verb, rest, at):
        words = rest.split(" ")
        tag, piece = (words[0].split("/") + [""])[:2]
        if verb == "add-place":
            name, kind = (re.search(rf"--{what} (\S+)", rest)[1] for what in ("name", "kind"))
            self.kinds[name] = kind
        elif verb == "take-in":
            self.species[tag] = re.search(r"--species (.+?)(?= --|$)", rest)[1]
        elif verb == "quote":
            self.charged[tag] = Decimal(re.search(r"--total ([\d.]+)", rest)[1])
        elif verb == "hours":
            self.hours += minutes(re.search(r"--worked (\S+)", rest)[1])
        elif verb == "look" and "--tissue clean" in rest:
            self.clean.add(tag)
        elif verb == "look" and "--tissue" in rest:
            self.clean.discard(tag)
        if verb in STEPS:
            self.minutes[tag] += STEPS[verb]
        if verb == "in":
            place, (tag, piece) = words[0], (words[1].split("/") + [""])[:2]
            if piece in ("", "skull"):
                self.leaves(tag, at)
                self.where[tag] = (place, at)
                self.minutes[tag] += PLACES.get(self.kinds[place], 0)
                self.goes[tag] += self.kinds[place] == "pot"
        elif verb in ("out", "wash", "flesh", "hand-over", "ship") and piece in ("", "skull"):
            self.leaves(tag, at)
        if verb in ("hand-over", "ship"):
            self.ended.add(tag)

    def leaves(self, tag, at):
        if tag in self.where:
            place, since = self.where.pop(tag)
            self.stays.append((place, since, at))


def earned(season):
    """Heads, what they were charged and bench hours, by species."""
    factor = season.hours / sum(season.minutes[tag] for tag in season.species)
    sums = defaultdict(lambda: [0, Decimal(0), 0.0])
    for tag in season.ended:
        one = sums[season.species[tag]]
        one[0] += 1
        one[1] += season.charged[tag]
        one[2] += season.minutes[tag] * factor / 60
    return sums


def skull_days(season):
    """Days of skulls in each place, by the Monday of the week."""
    days = defaultdict(float)
    for place, since, until in season.stays + [(p, s, season.now) for p, s in season.where.values()]:
        while since < until:
            monday = (since - timedelta(days=since.weekday())).replace(hour=0, minute=0, second=0, microsecond=0)
            edge = min(until, monday + timedelta(days=7))
            # Hours that went by, and not those between two clock faces.
            days[place, monday.date().isoformat()] += (edge.timestamp() - since.timestamp()) / 86400
            since = edge
    return days


def close(theirs, mine, least):
    return abs(float(theirs) - float(mine)) <= least + 0.006 * abs(float(mine))


def main():
    season, wrong = Season(sys.argv[1]), []
    sums = earned(season)
    rows = [row for row in table(sys.argv[2]) if "heads" in row]
    for row in rows:
        heads, charged, hours = sums[row["species"]]
        if int(row["heads"]) != heads or Decimal(row["charged"]) != charged or not close(row["bench hours"], hours, 0.05):
            wrong.append((row, heads, charged, hours))
    if {row["species"] for row in rows} != set(sums):
        wrong.append(("species", sorted(sums)))
    days, weeks = skull_days(season), [row for row in table(sys.argv[3]) if "skull-days" in row]
    for row in weeks:
        # The last week goes on until now, which is nobody's line.
        if row["week of"] > (season.now - timedelta(days=7)).date().isoformat():
            continue
        if not close(row["skull-days"], days[row["place"], row["week of"]], 0.06):
            wrong.append((row, days[row["place"], row["week of"]]))
    again = defaultdict(lambda: [0, 0])
    for tag, goes in season.goes.items():
        if goes and (goes > 1 or tag in season.clean or tag in season.ended):
            again[season.species[tag]][0] += goes > 1
            again[season.species[tag]][1] += 1
    for row in [row for row in table(sys.argv[4]) if "second-goes" in row]:
        hits, of = again[row["species"]]
        if (int(row["second-goes"]), int(row["of"])) != (hits, of):
            wrong.append((row, hits, of))
        try:
            from scipy.stats import binomtest
        except ImportError:
            continue
        limits = binomtest(hits, of).proportion_ci(method="wilson")
        told = [float(text) for text in re.findall(r"([\d.]+) %", row["limits"])]
        if not (close(told[0], 100 * limits.low, 0.06) and close(told[1], 100 * limits.high, 0.06)):
            wrong.append((row, limits))
    if wrong or not rows or not weeks:
        sys.exit("\n".join(f"they differ: {one}" for one in wrong[:20]) or "nothing to compare")
    print(f"{len(rows)} species, {len(weeks)} weeks of places, {len(again)} shares: they agree")


if __name__ == "__main__":
    main()
