"""Has hledger recount the books that the program exports.

    python books.py HLEDGER BURRLINE BENCH...

HLEDGER is the program of that name, BURRLINE the bench's, each BENCH the folder of a bench that may see money. Every
journal must parse, add up to nothing, name only declared accounts and hold the sums that were counted in the till
(`check -s`). Its balances must be what `burrline takings` says, and the postings' table must have the same ones. The
books of a month, made from a published exercise (client/paper/tests/journal.rs), must have the balances below, which
were reckoned by hand.
"""

import csv
import io
import json
import subprocess
import sys
from collections import defaultdict
from decimal import Decimal
from pathlib import Path

MONTH = Path(__file__).resolve().parents[2] / "client/paper/tests/golden/month.journal"

# Source: OpenStax, Principles of Accounting 1 (2019), 3.5 and 3.6, with what was bought in one account
# and the owner's dividends taken off what the owner put in.
BY_HAND = {
    "assets:till": 24800,
    "assets:receivable": 1200,
    "expenses:stock": 4000,
    "expenses:other": 3900,
    "equity:owner": -19900,
    "income:work": -9500,
    "liabilities:deposits": -4000,
    "liabilities:suppliers": -500,
}

ALL_DAYS = "2000-01-01..2100-01-01"


def run(*command, text=None):
    ran = subprocess.run(command, input=text, capture_output=True, text=True, check=False)
    if ran.returncode != 0:
        sys.exit(f"{' '.join(map(str, command))}: {ran.stdout}{ran.stderr}")
    return ran.stdout


class Books:
    """A journal, as hledger reads it."""

    def __init__(self, hledger, journal):
        self.hledger, self.journal = hledger, journal
        self.ask("check", "-s")

    def ask(self, *words):
        return run(self.hledger, "-f", "-", *words, text=self.journal)

    def balances(self, *query):
        rows = csv.reader(io.StringIO(self.ask("bal", "-O", "csv", "-N", "--flat", *query)))
        return {name: Decimal(amount.split(" ")[0]) for name, amount in list(rows)[1:]}


def same(what, ours, theirs):
    if ours != theirs:
        sys.exit(f"{what}: burrline says {ours}, hledger {theirs}")


def bench(hledger, burrline, folder):
    def ask(*words):
        return run(burrline, "--bench", folder, *words)

    books = Books(hledger, ask("export", "journal"))
    balances = books.balances()
    same("all of it", Decimal(0), sum(balances.values(), Decimal(0)))

    takings = json.loads(ask("--json", "takings", "--on", ALL_DAYS))
    say = lambda name: Decimal(takings[name])
    have = lambda name: balances.get(name, Decimal(0))
    same("held", say("heldAfter") + say("onNoJob"), -have("liabilities:deposits"))
    same("earned", say("earned") - say("earnedTax"), -have("income:work"))
    same("tax", say("earnedTax"), -have("liabilities:sales tax"))
    same("owed", say("owedAfter"), have("assets:receivable"))
    same("kept", say("keptOtherwise"), -have("income:kept deposits"))
    moved = books.balances("liabilities:deposits", "desc:^(paid|given back)(,|$)")
    same("taken less given back", say("net"), -sum(moved.values(), Decimal(0)))

    table = defaultdict(Decimal)
    for row in csv.DictReader(io.StringIO(ask("export", "postings"))):
        table[row["account"]] += Decimal(row["amount"])
    same("the table", {name: sum for name, sum in table.items() if sum}, balances)
    return len(books.ask("print").split("\n\n"))


def main():
    hledger, burrline, *benches = sys.argv[1:]
    month = Books(hledger, MONTH.read_text()).balances()
    same("the month", {name: Decimal(sum) for name, sum in BY_HAND.items()}, month)
    for folder in benches:
        count = bench(hledger, burrline, folder)
        print(f"{folder}: {count} transactions, recounted")


main()
