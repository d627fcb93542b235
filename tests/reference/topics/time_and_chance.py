"""Times until ready, rates and lines, with lifelines and statsmodels; curves with scipy."""

import math
import warnings

import numpy
from ask import Question
from lifelines import KaplanMeierFitter
from lifelines.utils import median_survival_times, qth_survival_times
from scipy.optimize import curve_fit
from scipy.stats import binom
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

# A share this near to the height of a step may fall on either side of it by rounding alone.
NEAR = 1e-9


def questions(random):
    yield from ready(random)
    yield from how_often(random)
    yield from middle(random)
    yield from places(random)
    yield from dry(random)


def ready(random):
    for _ in range(150):
        count = random.randint(2, 40)
        seen = [(random.randint(1, 30), random.random() < 0.7) for _ in range(count)]
        words = " ".join(f"{time}d{'' if finished else '+'}" for time, finished in seen)
        percent = random.choice([10, 25, 50, 75, 80, 90])
        sure = random.choice([90, 95, 99])
        fitter = KaplanMeierFitter(alpha=1 - sure / 100)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            fitter.fit([time for time, _ in seen], [finished for _, finished in seen])
        curve = fitter.survival_function_["KM_estimate"]
        limits = fitter.confidence_interval_
        low, high = limits.columns
        wanted, same = {}, {}
        left = 1 - percent / 100
        for time in sorted({time for time, finished in seen if finished}):
            wanted[f"longer_than_{time}"] = (curve[time], 1e-9)
            if curve[time] > NEAR:
                wanted[f"low_at_{time}"] = (limits[low][time], 1e-7)
                wanted[f"high_at_{time}"] = (limits[high][time], 1e-7)
        if not any(abs(height - left) < NEAR for height in curve):
            by = qth_survival_times(left, fitter.survival_function_)
            _time(wanted, same, "by", by)
            # Once all have finished there are no limits; ours then stay where they were known.
            if curve.min() > NEAR:
                _time(wanted, same, "low", _first(limits[low], left))
                _time(wanted, same, "high", _first(limits[high], left))
        yield Question(f"ready {words} share {percent}% sure {sure}%", wanted, same)


def _first(limit, left):
    reached = limit[limit <= left]
    return reached.index[0] if len(reached) else math.inf


def _time(wanted, same, name, value):
    if math.isinf(value):
        same[name] = "not reached"
    else:
        wanted[name] = (float(value), 1e-12)


def how_often(random):
    for _ in range(200):
        of = random.randint(1, 400)
        hits = random.choice([0, of, random.randint(0, of)])
        sure = random.choice([80, 90, 95, 99])
        low, high = proportion_confint(hits, of, 1 - sure / 100, method="wilson")
        wanted = {"low": (low, 1e-8), "high": (high, 1e-8)}
        yield Question(f"how-often {hits} of {of} sure {sure}%", wanted)
    for _ in range(100):
        of, others = random.randint(2, 200), random.randint(2, 200)
        hits, other = random.randint(0, of), random.randint(0, others)
        low, high = confint_proportions_2indep(
            hits, of, other, others, method="newcomb", compare="diff", correction=False
        )
        yield Question(
            f"how-often {hits} of {of} against {other} of {others}",
            {"difference_low": (low, 1e-7), "difference_high": (high, 1e-7)},
        )


def places(random):
    for _ in range(150):
        count = random.randint(1, 40)
        finish = round(random.uniform(0.1, 50), 3)
        come = round(finish * count * random.uniform(0.05, 0.98), 4)
        busy, load = come / finish, come / finish / count
        powers = [busy**n / math.factorial(n) for n in range(count + 1)]
        empty = 1 / (sum(powers[:-1]) + powers[-1] / (1 - load))
        waits = powers[-1] / (1 - load) * empty
        waiting = waits * load / (1 - load)
        yield Question(
            f"places {count} come {come} finish {finish} per day",
            {
                "empty": (empty, 1e-8),
                "waits": (waits, 1e-8),
                "waiting": (waiting, 1e-8),
                "stay": (waiting / come + 1 / finish, 1e-8),
            },
        )
    yield Question("places 2 come 9 finish 4", absurd=True)


def _mass(hours, end, water, time):
    return end + water * numpy.exp(-hours / time)


def dry(random):
    for _ in range(100):
        end = random.uniform(300, 4000)
        water = end * random.uniform(0.04, 0.15)
        time = random.uniform(8, 30)
        hours = numpy.array(sorted(random.sample(range(0, 120), random.randint(6, 12))), float)
        if hours[-1] - hours[0] < 3 * time:
            continue
        noise = numpy.array([random.gauss(0, 0.3) for _ in hours])
        masses = numpy.round(_mass(hours, end, water, time) + noise, 2)
        # A fall that is not far above the scatter is turned down as one that cannot be told.
        if masses[0] - masses[-1] < 20:
            continue
        since = hours - hours[0]
        start = (masses[-1], masses[0] - masses[-1], time)
        found, _ = curve_fit(_mass, since, masses, p0=start, xtol=1e-14, ftol=1e-14, maxfev=20000)
        words = " ".join(f"{hour:.0f}h={mass:.2f}g" for hour, mass in zip(hours, masses, strict=True))
        yield Question(
            f"dry {words} step 0.01g",
            {
                "dry_mass": (found[0], 1e-6),
                "water_at_first": (found[1], 1e-4),
                "time": (found[2], 1e-4),
            },
        )


def middle(random):
    # The limits of the middle by order, with the binomial of scipy.
    for _ in range(120):
        count = random.randint(6, 120)
        sure = random.choice([80, 90, 95, 99])
        values = [round(random.uniform(1, 90), 2) for _ in range(count)]
        rank = _rank(count, 1 - sure / 100)
        in_order = sorted(values)
        wanted = {"median": (float(numpy.median(values)), 1e-9)}
        if rank:
            wanted["low"] = (in_order[rank - 1], 1e-9)
            wanted["high"] = (in_order[-rank], 1e-9)
            wanted["sure"] = (1 - 2 * float(binom.cdf(rank - 1, count, 0.5)), 1e-9)
        yield Question("median " + " ".join(map(str, values)) + f" sure {sure}%", wanted)


def _rank(count, may_miss):
    """The largest rank from either end that misses the middle no more often than that."""
    ranks = [k for k in range(1, count // 2 + 1) if 2 * binom.cdf(k - 1, count, 0.5) <= may_miss]
    return max(ranks, default=0)
