"""Every code that a reckoner speaks has words, and no words lie unused."""

import ast
import re
from functools import cache
from importlib.resources import files

import pytest

from perennate.reckoner import RECKONERS
from perennate.words import templates


@cache
def spoken_codes():
    """Patterns of the codes in calls of text(), places of an f-string matching anything."""
    found = set()
    for entry in files("perennate.reckoner").iterdir():
        if not entry.name.endswith(".py"):
            continue
        tree = ast.parse(entry.read_text(encoding="utf-8"))
        within = {
            id(part)
            for node in ast.walk(tree)
            if isinstance(node, ast.JoinedStr)
            for part in node.values
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                parts = [
                    re.escape(part.value) if isinstance(part, ast.Constant) else r"\w+"
                    for part in node.values
                ]
                # The f-strings of questions and inputs, with places alone, are tested apart.
                if re.match(r"reckoner\\\.[a-z]+\\\.", parts[0]):
                    found.add("".join(parts))
            elif (
                isinstance(node, ast.Constant)
                and isinstance(node.value, str)
                and id(node) not in within
                and re.fullmatch(r"reckoner\.\w+\.\w+", node.value)
            ):
                found.add(re.escape(node.value))
    return sorted(found)


WORDS = [code for code in templates() if code.startswith("reckoner.")]


@pytest.mark.parametrize("pattern", spoken_codes())
def test_every_spoken_code_has_words(pattern):
    assert any(re.fullmatch(pattern, code) for code in WORDS)


def test_every_question_and_input_has_words():
    asked = {f"reckoner.{name}" for name in RECKONERS} | {
        f"reckoner.{name}.{item.name}" for name, found in RECKONERS.items() for item in found.inputs
    }
    assert asked <= set(WORDS)


@pytest.mark.parametrize("code", WORDS)
def test_no_words_lie_unused(code):
    of_questions = {f"reckoner.{name}" for name in RECKONERS} | {
        f"reckoner.{name}.{item.name}" for name, found in RECKONERS.items() for item in found.inputs
    }
    assert code in of_questions or any(re.fullmatch(pattern, code) for pattern in spoken_codes())
