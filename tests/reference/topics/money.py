"""Money against CPython's decimal module, its test corpus, and a copy of ISO 4217 and of CLDR."""

import importlib.util
import pathlib
import re
import sys
from decimal import (
    ROUND_DOWN,
    ROUND_HALF_DOWN,
    ROUND_HALF_EVEN,
    ROUND_HALF_UP,
    Decimal,
    localcontext,
)

import iso4217
from ask import Question
from babel.numbers import get_currency_precision

WAYS = {
    "half-up": ROUND_HALF_UP,
    "half-even": ROUND_HALF_EVEN,
    "half-down": ROUND_HALF_DOWN,
    "down": ROUND_DOWN,
}
CORPUS = {"half_up": "half-up", "half_even": "half-even", "half_down": "half-down", "down": "down"}
DIGITS = {0: "JPY", 2: "USD", 3: "KWD"}
# Not for paying with: bonds, metals, funds, units of account, tests.
NOT_PAID = {"BOV", "CHE", "CHW", "CLF", "COU", "MXV", "USN", "UYI", "UYW", "XAD"}


def questions(random):
    with localcontext() as context:
        context.prec = 60
        yield from rounding(random)
        yield from tax(random)
        yield from splits(random)
        yield from cash(random)
    yield from corpus_cases()
    yield from currencies()


def rounding(random):
    for _ in range(200):
        digits, currency = random.choice(sorted(DIGITS.items()))
        amount = Decimal(random.randint(-(10**9), 10**9)).scaleb(-random.randint(0, 6))
        if random.random() < 0.5:
            amount = Decimal(2 * random.randint(-(10**5), 10**5) + 1).scaleb(-digits) / 2
        word, way = random.choice(sorted(WAYS.items()))
        told = quantized(amount, digits, way)
        yield Question(
            f"round {amount:f} as {currency} --rounding {word}", same={"rounded": told}
        )


def tax(random):
    for _ in range(200):
        lines = [Decimal(random.randint(1, 50000)).scaleb(-2) for _ in range(random.randint(1, 9))]
        rate = Decimal(random.randint(0, 1000)).scaleb(-random.choice([1, 2, 3]))
        by = random.choice(["line", "invoice"])
        word, way = random.choice(sorted(WAYS.items()))
        exact = [line * rate / 100 for line in lines]
        if by == "line":
            total = sum(x.quantize(Decimal("0.01"), rounding=way) for x in exact)
        else:
            total = sum(exact).quantize(Decimal("0.01"), rounding=way)
        amounts = " ".join(f"{line:f}" for line in lines)
        question = f"tax {amounts} at {rate:f}% --by {by} --rounding {word}"
        yield Question(question, {"tax": (float(total), 1e-12)})


def splits(random):
    for _ in range(150):
        digits, currency = random.choice(sorted(DIGITS.items()))
        coins = random.randint(0, 10**7)
        weights = [random.randint(0, 500) for _ in range(random.randint(1, 12))]
        used = weights if any(weights) else [1] * len(weights)
        # Whole coins by largest remainder, with integers alone.
        shares = [coins * weight // sum(used) for weight in used]
        rests = [coins * weight % sum(used) for weight in used]
        order = sorted(range(len(used)), key=lambda at: (-rests[at], at))
        for at in order[: coins - sum(shares)]:
            shares[at] += 1
        told = " ".join(f"{Decimal(share).scaleb(-digits):.{digits}f}" for share in shares)
        amount = f"{Decimal(coins).scaleb(-digits):.{digits}f}"
        by = " ".join(str(weight) for weight in weights)
        yield Question(f"split {amount} by {by} as {currency}", same={"shares": told})


def cash(random):
    for _ in range(60):
        price = Decimal(random.randint(1, 10**6)).scaleb(-2)
        step = random.choice([Decimal("0.05"), Decimal("0.10"), Decimal("0.50")])
        paid = (price / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step
        yield Question(f"cash {price} to {step}", {"cash": (float(paid), 1e-12)})


def corpus_cases():
    """Every quantize case to a whole number, a hundredth or a thousandth in a way that is ours."""
    folder = corpus()
    if folder is None:
        # Some systems leave CPython's own tests out; the random cases are still asked.
        print("money: CPython's decimal cases are not installed here", file=sys.stderr)
        return
    way, seen = None, 0
    case = re.compile(r"^\S+\s+quantize\s+'?([-+.\dE]+)'?\s+'?([-+.\de]+)'?\s+->\s+'?([-+.\dE]+)'?(\s|$)")
    for line in (folder / "quantize.decTest").read_text(encoding="utf-8").splitlines():
        if line.lower().startswith("rounding:"):
            way = CORPUS.get(line.split(":")[1].strip())
        found = case.match(line)
        if not way or not found:
            continue
        amount, step, result = (Decimal(part) for part in found.groups()[:3])
        digits = -step.as_tuple().exponent
        if digits in DIGITS and -18 < amount.adjusted() < 11 and amount.as_tuple().exponent > -25:
            # A negative nought is nought here.
            told = f"{abs(result):f}" if not result else f"{result:f}"
            seen += 1
            question = f"round {amount:f} as {DIGITS[digits]} --rounding {way}"
            yield Question(question, same={"rounded": told})
    if seen < 20:
        raise SystemExit(f"only {seen} cases of the corpus were found")


def corpus():
    """The folder of IBM's decimal cases, where CPython's own tests are installed."""
    tests = importlib.util.find_spec("test")
    paths = tests.submodule_search_locations if tests else []
    folders = [pathlib.Path(path) / "decimaltestdata" for path in paths]
    return next((folder for folder in folders if folder.is_dir()), None)


def currencies():
    """The digits of every currency that people pay with, by ISO 4217; CLDR's where both agree."""
    asked = 0
    for currency in iso4217.Currency:
        code, digits = currency.value.upper(), currency.exponent
        if code in NOT_PAID or digits is None:
            yield Question(f"round 1 as {code}", absurd=True)
            continue
        asked += 1
        yield Question(f"round 1 as {code}", same={"digits": digits})
        if get_currency_precision(code) > digits:
            raise SystemExit(f"{code}: CLDR has more digits than ISO 4217")
    if asked < 150:
        raise SystemExit(f"only {asked} currencies were found")


def quantized(amount, digits, way):
    told = amount.quantize(Decimal(1).scaleb(-digits), rounding=way)
    return f"{abs(told):f}" if not told else f"{told:f}"
