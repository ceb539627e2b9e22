"""Every code that the program can say has a sentence, and the sentence's places are given."""

import ast
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import perennate
from perennate.words import templates

SOURCE = Path(perennate.__file__).parent
_ASKING = {"text", "word"}


def _codes(tree: ast.AST) -> Iterator[tuple[ast.Call, ast.expr]]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call) or not node.args:
            continue
        called = node.func
        name = called.id if isinstance(called, ast.Name) else None
        if name in _ASKING:
            yield node, node.args[0]


def places(template: str) -> set[str]:
    return {
        name.split(".")[0].split("[")[0]
        for _, name, _, _ in Formatter().parse(template)
        if name is not None
    }


def _problems(tree: ast.AST, known: dict[str, str]) -> Iterator[str]:
    """What is wrong with the codes of one file: unknown ones, and places that are not given."""
    for call, code in _codes(tree):
        named = {keyword.arg for keyword in call.keywords if keyword.arg}
        open_ended = any(keyword.arg is None for keyword in call.keywords)
        if isinstance(code, ast.Constant) and isinstance(code.value, str):
            if code.value not in known:
                yield f"line {call.lineno}: no sentence for {code.value!r}"
            elif not open_ended and not places(known[code.value]) <= named:
                lacking = sorted(places(known[code.value]) - named)
                yield f"line {call.lineno}: {code.value!r} has places not given: {lacking}"
        elif isinstance(code, ast.JoinedStr):
            start = code.values[0]
            prefix = str(start.value) if isinstance(start, ast.Constant) else ""
            if not any(one.startswith(prefix) for one in known):
                yield f"line {call.lineno}: no sentence begins with {prefix!r}"


def test_every_code_in_the_source_has_a_sentence_with_its_places_given() -> None:
    known = dict(templates())
    wrong = [
        f"{path.relative_to(SOURCE)}, {problem}"
        for path in sorted(SOURCE.rglob("*.py"))
        for problem in _problems(ast.parse(path.read_text(encoding="utf-8")), known)
    ]
    assert not wrong, "\n".join(wrong)


def test_the_walk_finds_an_unknown_code_a_missing_place_and_an_unknown_beginning() -> None:
    source = """
text("known", day=1)
text("unknown")
text("known")
text(f"nowhere.{x}")
word("unknown")
text("known", **more)
"""
    found = list(_problems(ast.parse(source), {"known": "On {day:m}."}))
    assert found == [
        "line 3: no sentence for 'unknown'",
        "line 4: 'known' has places not given: ['day']",
        "line 5: no sentence begins with 'nowhere.'",
        "line 6: no sentence for 'unknown'",
    ]


def test_places_have_names_and_close() -> None:
    for code, template in templates().items():
        assert "" not in places(template), f"{code}: a place without a name"
