"""Dates of records and notices, with the calendar of Python's standard library."""

from datetime import date, timedelta

from ask import Question

KEPT = {"VA": 3, "NY": 5}


def questions(random):
    for _ in range(100):
        place, years = random.choice(sorted(KEPT.items()))
        out = some_day(random)
        yield Question(
            f"law {place} returned {out} area no",
            same={f"records_{place.lower()}": f"keep through {later(out, years)}"},
        )
    for _ in range(60):
        notice = some_day(random)
        yield Question(
            f"law TX notice {notice} area no",
            same={"unclaimed_tx": f"not before {notice + timedelta(days=90)}"},
        )
    for _ in range(60):
        taken = some_day(random)
        out = taken + timedelta(days=random.randint(1, 3000))
        kept = max(later(taken, 5), out)
        yield Question(
            f"law MT taken-in {taken} returned {out} area no",
            same={"records_mt": f"keep through {kept}"},
        )


def some_day(random):
    return date(2015, 1, 1) + timedelta(days=random.randint(0, 5000))


def later(day, years):
    """The same day so many years later; a leap day goes to the first of March."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)
