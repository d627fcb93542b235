"""The pot, against the iapws library and the standard atmosphere written out once more."""

import math

from ask import Question
from iapws.iapws97 import _PSat_T, _Region1, _Region2, _TSat_P

ZERO = 273.15
RADIUS = 6356766


def pressure(metres, geometric):
    """Pa, by the ICAO atmosphere."""
    height = RADIUS * metres / (RADIUS + metres) if geometric else metres
    return 101325 * (1 - 0.0065 * height / 288.15) ** (9.80665 / (287.05287 * 0.0065))


def boil(pascals):
    """degC."""
    return _TSat_P(pascals / 1e6) - ZERO


def latent(celsius):
    """kJ/kg."""
    kelvin = celsius + ZERO
    line = _PSat_T(kelvin)
    return _Region2(kelvin, line)["h"] - _Region1(kelvin, line)["h"]


def questions(random):
    """Questions of each kind, within the limits and beyond them."""
    for _ in range(150):
        metres, geometric = random.randint(-440, 11000), random.random() < 0.5
        pascals = pressure(metres, geometric)
        word = "geometric" if geometric else "geopotential"
        yield Question(
            f"boils {metres}m --height {word}",
            {"pressure": (pascals, 1e-9), "boiling": (boil(pascals), 1e-8)},
        )
    for _ in range(100):
        hectopascals = round(random.uniform(226, 1100), 1)
        yield Question(f"boils {hectopascals}hPa", {"boiling": (boil(hectopascals * 100), 1e-8)})
    for metres in (-441, 11001, 20000):
        yield Question(f"boils {metres}m", absurd=True)
    yield from heating(random)
    yield from losing(random)


def heating(random):
    """Time to boil, with losses and without."""
    for _ in range(150):
        metres, litres = random.randint(0, 4000), round(random.uniform(2, 200), 1)
        start, watts = round(random.uniform(1, 60), 1), random.randint(500, 20000)
        share, loss, air = random.randint(20, 100), random.choice([0, 0, 5, 15]), random.randint(-10, 30)
        pascals = pressure(metres, True)
        end = boil(pascals)
        cold = _Region1(start + ZERO, pascals / 1e6)
        heat = litres / 1000 / cold["v"] * (_Region1(end + ZERO, pascals / 1e6)["h"] - cold["h"])
        net = watts * share / 100
        line = f"heat {litres}L from {start}C with {watts}W efficiency {share}% at {metres}m"
        if loss:
            line += f" loss {loss}W/K air {air}C"
        wanted = {"heat": (heat, 1e-7)}
        first, last = net - loss * (start - air), net - loss * (end - air)
        if not loss:
            wanted["time"] = (heat * 1000 / net / 60, 1e-7)
        elif last > 0:
            wanted["time"] = (heat * 1000 / (end - start) / loss * math.log(first / last) / 60, 1e-6)
        yield Question(line, wanted, {"boils": not loss or last > 0})


def losing(random):
    """Boil-off and evaporation."""
    for _ in range(100):
        across, watts = random.randint(20, 90), random.randint(500, 9000)
        metres = random.randint(0, 4000)
        end = boil(pressure(metres, True))
        yield Question(
            f"boil-off pot {across}cm with {watts}W efficiency 50% at {metres}m",
            {"rate": (watts / 2000 / latent(end) * 3600, 1e-7)},
        )
    for _ in range(100):
        across, water = random.randint(20, 90), round(random.uniform(40, 98), 1)
        air, humidity, wind = random.randint(0, 30), random.randint(0, 100), round(random.uniform(0, 3), 1)
        face = math.pi / 4 * (across / 100) ** 2
        apart = _PSat_T(water + ZERO) - humidity / 100 * _PSat_T(air + ZERO)
        rate = face * (0.089 + 0.0782 * wind) * apart * 1000 / latent(water) * 3600
        density = 0.001 / _Region1(water + ZERO, 0.101325)["v"]
        yield Question(
            f"boil-off pot {across}cm at {water}C air {air}C humidity {humidity}% wind {wind}m/s",
            {"rate": (rate, 1e-7), "fall": (rate / face / density, 1e-7)},
        )
