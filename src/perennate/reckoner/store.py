"""How long a harvest keeps in a place and what is left of it."""

from typing import Literal

from perennate.catalogue.model import Crop
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.science.keeping import life_used, share_left
from perennate.terms import Estimate, Text, text

NAME = "keeping"
STORE_DEGC = {"fridge": (2.0, 5.0), "cellar": (4.0, 10.0), "room": (16.0, 24.0)}
"""Usual warmth of each place [degC]; the best place is as cold as the crop stands."""
FRONT_LOADED = "potato-shrink2017"
"""The source whose figures run from later months (low) to the first month (high)."""

INPUTS = (
    Input("crop", "crop"),
    Input("store", "choice", default="cellar", choices=("best", "cellar", "fridge", "room")),
    Input("days", "float", "days", 0, 3650, default="30"),
    Input("kg", "float", "kg", 0, 1_000_000, default="10"),
)


@reckoner(NAME, INPUTS)
def keeping(
    crop: Crop,
    store: Literal["best", "cellar", "fridge", "room"],
    days: float,
    kg: float,
) -> list[Answer]:
    """Kilograms left after `days`, the life in that place and the share of it used."""
    life = crop.figure(f"life_{store}")
    if life is None:
        known = [
            place
            for place in ("best", "cellar", "fridge", "room")
            if crop.figure(f"life_{place}") is not None
        ]
        raise refuse(
            NAME,
            "store",
            store,
            f"a place where the life of {crop.key} is known: " + (", ".join(known) or "none is"),
        )
    left, told, source = _left(crop, days)
    working = [
        text(
            "reckoner.keeping.life",
            crop=crop.key,
            store=store,
            low=life.low,
            life=life.value,
            high=life.high,
            basis=life.basis,
        ),
        told,
    ]
    cautions = _cautions(crop, store, days, life)
    # Weight goes slowly; past its life the whole goes.
    sound = [
        kg * share if days <= limit else 0.0
        for share, limit in zip(left, (life.low, life.value, life.high), strict=True)
    ]
    working.append(
        text("reckoner.keeping.left", kg=kg, days=days, left=sound[1], low=sound[0], high=sound[2])
    )
    sources = (life.source, *source)
    used = life_used(days, life.value)
    return [
        Answer("kg left", sound[1], sound[0], sound[2], "kg", tuple(working), sources, cautions),
        Answer("life", life.value, life.low, life.high, "days", (working[0],), (life.source,)),
        Answer(
            "life used",
            used,
            life_used(days, life.high),
            life_used(days, life.low),
            "1",
            (text("reckoner.keeping.used", days=days, life=life.value, used=used),),
            (life.source, "shelf-life"),
        ),
    ]


def _left(crop: Crop, days: float) -> tuple[list[float], Text, tuple[str, ...]]:
    """Shares of weight left after the days, least first, how they come and from what."""
    loss = crop.figure("weight_loss_month")
    if loss is None:
        return [1.0] * 3, text("reckoner.keeping.loss_unknown", crop=crop.key), ()
    if FRONT_LOADED in loss.source.split(";"):
        share = float(share_left(days, loss.high / 100, loss.low / 100))
        told = text(
            "reckoner.keeping.first_month",
            crop=crop.key,
            first=loss.high / 100,
            later=loss.low / 100,
            basis=loss.basis,
        )
        return [share] * 3, told, (loss.source,)
    shares = [
        float(share_left(days, month / 100, month / 100))
        for month in (loss.high, loss.value, loss.low)
    ]
    told = text(
        "reckoner.keeping.loss",
        crop=crop.key,
        low=loss.low / 100,
        high=loss.high / 100,
        basis=loss.basis,
    )
    return shares, told, (loss.source,)


def _cautions(crop: Crop, store: str, days: float, life: Estimate) -> tuple[Text, ...]:
    found = []
    if days > life.high:
        found.append(text("reckoner.keeping.past", crop=crop.key, life=life.high))
    elif days > life.low:
        found.append(text("reckoner.keeping.due", crop=crop.key, life=life.low))
    chilled = crop.figure("chilling_limit")
    if chilled is not None and store in STORE_DEGC and STORE_DEGC[store][0] < chilled.value:
        found.append(
            text(
                "reckoner.keeping.chilled",
                crop=crop.key,
                store=store,
                limit=chilled.value,
                cold=STORE_DEGC[store][0],
            )
        )
    if crop.figure("weight_loss_month") is None:
        found.append(text("reckoner.keeping.loss_unknown", crop=crop.key))
    found.append(text("reckoner.keeping.look"))
    found += [
        text(
            "reckoner.food.hazard",
            crop=crop.key,
            hazard=hazard.hazard,
            processing=hazard.processing or "-",
        )
        for hazard in crop.hazards
    ]
    return tuple(found)
