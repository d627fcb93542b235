"""Puts questions to `burrline reckon` in one process and compares its answers."""

import json
import math
import subprocess
from dataclasses import dataclass, field


@dataclass
class Question:
    """A line for `burrline reckon`, and the figures that another program gives for it."""

    line: str
    # Name of the figure: (value, how far apart they may be, relative to the value).
    wanted: dict = field(default_factory=dict)
    # Name of the figure: words or exact text.
    same: dict = field(default_factory=dict)
    # Whether it is to be turned down.
    absurd: bool = False


def answers(program: str, questions: list) -> list:
    """The answer of each question, in order."""
    lines = "\n".join(question.line for question in questions) + "\n"
    said = subprocess.run(
        [program, "reckon", "--batch", "-"], input=lines, capture_output=True, text=True, check=False
    )
    found = [json.loads(line) for line in said.stdout.splitlines()]
    if len(found) != len(questions):
        raise SystemExit(f"{len(questions)} questions, {len(found)} answers: {said.stderr}")
    return found


def faults(question: Question, answer: dict) -> list:
    """What is wrong with an answer, in words."""
    if question.absurd or "error" in answer:
        if question.absurd and "error" in answer:
            return []
        return [f"{question.line}: {answer.get('error', 'answered, but it cannot be')}"]
    figures = {figure["name"]: figure["value"] for figure in answer["figures"]}
    wrong = []
    for name, (value, apart) in question.wanted.items():
        told = figures.get(name)
        if told is None or not math.isclose(float(told), value, rel_tol=apart, abs_tol=1e-9):
            wrong.append(f"{question.line}: {name} is {told}, elsewhere {value}")
    for name, value in question.same.items():
        if figures.get(name) != value:
            wrong.append(f"{question.line}: {name} is {figures.get(name)}, elsewhere {value}")
    return wrong
