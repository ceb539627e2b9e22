"""Degree days of a day or of a run of like days."""

from typing import get_args

from perennate.catalogue.model import Crop
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.science.degree_days import METHODS, Method, degree_days
from perennate.terms import Text, text

NAME = "degree-days"
INPUTS = (
    Input("crop", "crop", optional=True),
    Input("tmin", "float", "degC", -60, 60),
    Input("tmax", "float", "degC", -60, 60),
    Input("base", "float", "degC", -20, 40, optional=True),
    Input("upper", "float", "degC", -10, 60, optional=True),
    Input("method", "choice", default="sine", choices=get_args(Method)),
    Input("days", "float", "days", 0, 3650, default="1"),
)


@reckoner(NAME, INPUTS)
def degree_days_of(
    crop: Crop | None,
    tmin: float,
    tmax: float,
    base: float | None,
    upper: float | None,
    method: Method,
    days: float,
) -> list[Answer]:
    """Degree days [degC d] of `days` like days; low and high are the least and most of the methods.

    Base and ceiling are the crop's where they are not given.
    """
    if tmax < tmin:
        raise refuse(NAME, "tmax", f"{tmax:g}", f"at least tmin, {tmin:g} degC")
    working: list[Text] = []
    sources = ["degree-days"]
    if base is None:
        figure = crop.figure("temp_base") if crop is not None else None
        if crop is None or figure is None:
            raise refuse(NAME, "base", "nothing", "a base temperature, or a crop that has one")
        base = figure.value
        sources.append(figure.source)
        working.append(text("reckoner.heat.base", crop=crop.key, base=base, basis=figure.basis))
        ceiling = crop.figure("temp_ceiling")
        if upper is None and ceiling is not None:
            upper = ceiling.value
            sources.append(ceiling.source)
            working.append(
                text("reckoner.heat.upper", crop=crop.key, upper=upper, basis=ceiling.basis)
            )
    if upper is not None and upper <= base:
        raise refuse(NAME, "upper", f"{upper:g}", f"above the base, {base:g} degC")
    each = {name: float(degree_days(tmin, tmax, base, upper, name)) for name in METHODS}
    one = each[method]
    total = one * days
    spread = [value * days for value in each.values()]
    working.append(
        text("reckoner.heat.day", tmin=tmin, tmax=tmax, base=base, method=method, heat=one)
    )
    if upper is not None:
        working.append(text("reckoner.heat.ceiling", upper=upper))
    working.append(text("reckoner.heat.sum", days=days, heat=total))
    working.append(text("reckoner.heat.fahrenheit", heat=total * 1.8))
    return [
        Answer(
            "degree days",
            total,
            min(spread),
            max(spread),
            "degC d",
            tuple(working),
            tuple(sources),
            (text("reckoner.heat.same_method"),),
        )
    ]
