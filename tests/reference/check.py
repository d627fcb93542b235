"""Compares `burrline reckon` with other programs: check.py PROGRAM [SEED]."""

import importlib
import pkgutil
import random
import sys

import topics
from ask import answers, faults


def main(program: str, seed: int) -> int:
    """Asks every topic; the exit status says whether all answers agree."""
    wrong = []
    for module in sorted(module.name for module in pkgutil.iter_modules(topics.__path__)):
        topic = importlib.import_module(f"topics.{module}")
        questions = list(topic.questions(random.Random(f"{seed} {module}")))
        if not questions:
            raise SystemExit(f"{module} asks nothing")
        found = [
            fault
            for question, answer in zip(questions, answers(program, questions), strict=True)
            for fault in faults(question, answer)
        ]
        print(f"{module}: {len(questions)} questions, {len(found)} differ")
        wrong += found
    print("\n".join(wrong[:40]))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 1))
