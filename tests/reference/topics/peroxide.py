"""Strengths and mixes, with the formulae written out once more."""

from ask import Question

MOLAR = {"stp": 22.41396954, "school": 22.4, "iupac": 22.71095464}
GRAMS = 34.0147
GAS = 8.314462618


def questions(random):
    """Questions of each kind, within the limits and at them."""
    for _ in range(150):
        volume = round(random.uniform(1, 150), 1)
        word, litres = random.choice(sorted(MOLAR.items()))
        moles = 2 * volume / litres
        yield Question(
            f"strength {volume}vol --molar-volume {word}",
            {"mol_per_litre": (moles, 1e-9), "percent_wv": (moles * GRAMS / 10, 1e-9)},
        )
    for _ in range(150):
        stock = round(random.uniform(3, 30), 2)
        target = round(random.uniform(0.5, stock - 0.01), 2)
        make = round(random.uniform(0.5, 400), 2)
        need = make * target / stock
        yield Question(
            f"dilute {stock}% to {target}% make {make}L",
            {"stock": (need, 1e-9), "water": (make - need, 1e-7)},
        )
    for _ in range(50):
        stock = round(random.uniform(10, 35), 2)
        target = round(random.uniform(0.5, stock), 2)
        yield Question(
            f"dilute {stock}%w/w to {target}%w/w make 10kg", {"stock": (10 * target / stock, 1e-9)}
        )
    yield from baths(random)
    yield from measured(random)
    yield from classes(random)
    for line in ("dilute 12% to 3% make 0L", "dilute 200% to 3% make 20L", "strength 35% 40vol"):
        yield Question(line, absurd=True)


def baths(random):
    """Baths made stronger and weaker: what is added keeps the peroxide's sum."""
    for _ in range(100):
        low, middle, high = sorted(random.sample(range(1, 3500), 3))
        low, middle, high = low / 100, middle / 100, high / 100
        volume = round(random.uniform(1, 300), 1)
        now, stock = (low, high) if random.random() < 0.5 else (high, low)
        add = volume * (middle - now) / (stock - middle)
        swap = volume * (middle - now) / (stock - now)
        yield Question(
            f"top-up {volume}L {now}% to {middle}% with {stock}%",
            {"add": (add, 1e-9), "replace": (swap, 1e-9)},
        )


def measured(random):
    """Titrations, gas and heat."""
    for _ in range(100):
        titre, sample = round(random.uniform(1, 50), 2), round(random.uniform(1, 10), 2)
        molarity = random.choice([0.02, 0.04, 0.005])
        percent = titre * molarity * 2.5 * GRAMS / (10 * sample)
        yield Question(
            f"assay {titre}mL in {sample}mL by {molarity}mol/L", {"percent_wv": (percent, 1e-9)}
        )
    for _ in range(50):
        volume, percent = round(random.uniform(1, 60), 1), round(random.uniform(1, 20), 1)
        at, gone = random.randint(0, 60), random.randint(1, 100)
        moles = volume * percent * 10 / GRAMS * gone / 100
        yield Question(
            f"gas {volume}L {percent}% gone {gone}% at {at}C",
            {
                "moles": (moles, 1e-9),
                "heat": (moles * 98.2, 1e-9),
                "oxygen": (moles / 2 * GAS * (at + 273.15) / 101.325, 1e-9),
            },
        )


def classes(random):
    """Classes by mass, the limits written out once more."""
    limits = [5, 8, 12, 20, 27.5, 35, 50, 52, 60, 70, 91]
    near = [limit + step for limit in limits for step in (-0.01, 0, 0.01)]
    for strength in near + [round(random.uniform(0, 100), 2) for _ in range(100)]:
        strength = round(strength, 2)
        transport = (
            "not listed (under 8 %)"
            if strength < 8
            else "UN2984, class 5.1, packing group III"
            if strength < 20
            else "UN2014, class 5.1 (8), packing group II"
            if strength <= 60
            else "UN2015, class 5.1 (8), packing group I"
        )
        fire = (
            "no oxidiser class (under 8 %)"
            if strength < 8
            else f"oxidiser class {1 + sum(strength > limit for limit in (27.5, 52, 91))}"
        )
        yield Question(f"class {strength}%w/w", same={"transport": transport, "fire": fire})
