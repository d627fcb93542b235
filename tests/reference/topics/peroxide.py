"""Strengths and mixes, with the formulae written out once more."""

from ask import Question

MOLAR = {"stp": 22.41396954, "school": 22.4, "iupac": 22.71095464}
GRAMS = 34.0147


def questions(random):
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
        target = round(random.uniform(0.5, stock), 2)
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
    yield Question("dilute 12% to 3% make 0L", absurd=True)
    yield Question("dilute 200% to 3% make 20L", absurd=True)
