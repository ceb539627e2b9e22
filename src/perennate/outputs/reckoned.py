"""Single answers as a worked sum: the answer, each step, the sources, what to mind."""

from collections.abc import Mapping, Sequence
from typing import Any

from perennate.outputs.summary import Section
from perennate.terms import text
from perennate.words import convert, plain, say, symbol, word


def answer_sections(answers: Sequence[Mapping[str, Any]], question: str) -> tuple[Section, ...]:
    """Answers (as the reckoner writes them for JSON) as sections of lines."""
    shown = tuple(
        say(text("reckon.answer", name=one.get("name", question), value=_value(one)))
        for one in answers
    )
    return (
        Section(question, shown),
        *(
            Section(word(f"reckon.{part}"), lines)
            for part in ("working", "sources", "cautions")
            if (lines := _once(answers, part))
        ),
    )


def list_sections(known: Sequence[Mapping[str, Any]]) -> tuple[Section, ...]:
    """Every question with its inputs."""
    return tuple(
        Section(f"{one['name']}: {one['title']}", tuple(_input(item) for item in one["inputs"]))
        for one in known
    )


def _value(answer: Mapping[str, Any]) -> str:
    unit = answer["unit"]
    value = f"{_number(answer['answer'], unit)} {symbol(unit)}".rstrip()
    low, high = answer["low"], answer["high"]
    if low is None or high is None or (low == high):
        return value
    ends = {"low": _number(low, unit), "high": _number(high, unit)}
    return say(text("line.spread", value=value, **ends))


def _number(value: Any, unit: str = "") -> str:
    if isinstance(value, float):
        return plain(convert(value, unit, "metric")[0])
    return str(value)


def _once(answers: Sequence[Mapping[str, Any]], part: str) -> tuple[str, ...]:
    """Lines of all answers, each once, in the order in which they come."""
    return tuple(dict.fromkeys(line for answer in answers for line in answer[part]))


def _input(item: Mapping[str, Any]) -> str:
    parts = [item["help"]]
    if item["low"] is not None and item["high"] is not None:
        ends = text("cli.from_to", low=_number(item["low"]), high=_number(item["high"]))
        parts.append(f"{say(ends)} {symbol(item['unit'])}".rstrip())
    elif item["unit"]:
        parts.append(symbol(item["unit"]))
    if item["choices"]:
        parts.append(", ".join(item["choices"]))
    if item["default"] is not None:
        parts.append(say(text("cli.default", value=item["default"])))
    else:
        parts.append(word("cli.must") if item["required"] else word("cli.may"))
    return f"{item['name']}: " + "; ".join(parts)
