"""Check digits against python-stdnum; scores with the sheet added up once more, in eighths."""

import string

from ask import Question
from stdnum import damm, luhn, verhoeff
from stdnum.iso7064 import mod_11_2, mod_11_10, mod_37_2, mod_37_36, mod_97_10

LETTERS = string.digits + string.ascii_uppercase
SCHEMES = {
    "damm": (damm.calc_check_digit, string.digits),
    "verhoeff": (verhoeff.calc_check_digit, string.digits),
    "luhn": (luhn.calc_check_digit, string.digits),
    "mod11,10": (mod_11_10.calc_check_digit, string.digits),
    "mod11-2": (mod_11_2.calc_check_digit, string.digits),
    "mod37-2": (mod_37_2.calc_check_digit, LETTERS),
    "mod37,36": (mod_37_36.calc_check_digit, LETTERS),
    "mod97-10": (mod_97_10.calc_check_digits, string.digits),
}


def questions(random):
    for scheme, (check, alphabet) in SCHEMES.items():
        for _ in range(60):
            number = "".join(random.choices(alphabet, k=random.randint(1, 30)))
            yield Question(f"check-digit {number} --scheme {scheme}", same={"check": check(number)})
    for scheme in ("damm", "verhoeff", "mod97-10"):
        check, alphabet = SCHEMES[scheme]
        for _ in range(20):
            number = "".join(random.choices(alphabet, k=random.randint(2, 9)))
            whole = number + check(number)
            yield Question(f"check-number {whole} --scheme {scheme}", same={"agrees": True})
            at = random.randrange(len(number))
            wrong = random.choice([d for d in string.digits if d != whole[at]])
            slipped = whole[:at] + wrong + whole[at + 1 :]
            yield Question(f"check-number {slipped} --scheme {scheme}", same={"agrees": False})
    for _ in range(80):
        yield sheet(random)
    for _ in range(40):
        length, width = random.randint(100, 300), random.randint(50, 100)
        yield Question(
            f"skull-score {length // 16} {length % 16}/16 {width // 16} {width % 16}/16",
            same={"score": inches(length + width, 16)},
        )


def sheet(random):
    """A random whitetail sheet, some points missing, and its score."""
    pairs = {"beam": (random.randint(100, 240), random.randint(100, 240))}
    for n in range(1, random.randint(2, 7) + 1):
        one = lambda: None if random.random() < 0.1 else random.randint(8, 110)
        pair = (one(), one())
        if pair != (None, None):
            pairs[f"g{n}"] = pair
    for n in range(1, 5):
        pairs[f"h{n}"] = (random.randint(20, 50), random.randint(20, 50))
    spread = random.randint(80, 260)
    abnormal = [random.randint(8, 40) for _ in range(random.randint(0, 3))]
    words = [f"score spread {inches(spread)}"]
    for name, pair in pairs.items():
        words.append(name)
        words += ["-" if side is None else inches(side) for side in pair]
    if abnormal:
        words.append("abnormal")
        words += [inches(length) for length in abnormal]
    gross = min(spread, max(pairs["beam"])) + sum(s or 0 for p in pairs.values() for s in p)
    apart = sum(abs((right or 0) - (left or 0)) for right, left in pairs.values())
    net = gross - apart - sum(abnormal)
    return Question(" ".join(words), same={"gross": inches(gross), "net": inches(net)})


def inches(parts, per=8):
    sign = "-" if parts < 0 else ""
    return f"{sign}{abs(parts) // per} {abs(parts) % per}/{per}"
