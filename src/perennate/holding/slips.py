"""What was probably meant by a number that its column cannot hold."""

from perennate.holding.schema import Field


def likely_meant(value: float, field: Field) -> str:
    """A question for the person who wrote the number, or "" where nothing is likely."""

    def fits(other: float) -> bool:
        return (field.low is None or other >= field.low) and (
            field.high is None or other <= field.high
        )

    if value < 0 and fits(-value):
        return f"{-value:g} without the minus?"
    if field.unit == "dS/m" and fits(value / 1000):
        return f"{value:g} uS/cm = {value / 1000:g} dS/m?"
    if field.name == "ph" and fits(value / 10):
        return f"{value / 10:.1f}?"
    return ""
