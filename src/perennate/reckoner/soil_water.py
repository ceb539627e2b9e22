"""What a soil holds for roots, how long it lasts, and what would make it hold more."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from perennate.catalogue.crop_water import crop_water
from perennate.catalogue.model import Crop
from perennate.catalogue.soil_texture import SoilTexture, soil_texture, soil_textures
from perennate.reckoner.registry import Answer, Input, reckoner, refuse
from perennate.science.crop_water import depletion_fraction
from perennate.science.soil_hydraulics import (
    GREATEST_CLAY,
    GREATEST_ORGANIC_MATTER,
    LEAST_CONDUCTIVITY_MM_H,
    Hydraulics,
    daily_drainage_share,
    days_to_drain,
    hydraulics,
)
from perennate.terms import Text, text

USUAL_ROOTS_M = 0.4
"""Roots of most vegetables within this depth take most of the water (assumed)."""

USUAL_DEPLETION = 0.5
MORE_ORGANIC = 1.0
MORE_DEPTH_M = 0.1

EIGHT_IN_TEN = 1.2816
"""Standard deviations either side that hold eight of ten."""

_ERRORS = {"field_capacity": 0.05, "wilting_point": 0.02, "saturation": 0.04}
"""Standard errors of the equations (Saxton and Rawls 2006, table 1, from memory) [m3/m3]."""

_SOURCES = ("saxton-rawls2006",)


@dataclass(frozen=True, slots=True)
class _Soil:
    """Shares of sand and clay with their spread (0 to 1), organic matter and stones [%]."""

    sand: tuple[float, float, float]
    clay: tuple[float, float, float]
    organic: float
    stones: float
    own: SoilTexture | None

    def water(self, sand: float | None = None, clay: float | None = None) -> Hydraulics:
        fine = hydraulics(
            self.sand[0] if sand is None else sand,
            self.clay[0] if clay is None else clay,
            self.organic,
            self.stones / 100.0,
        )
        known = None if self.own is None else self.own.own_hydraulics
        return fine if known is None else known

    def spread(self, figure: Callable[[Hydraulics], float], error: float) -> tuple[float, ...]:
        """Value, low and high of a figure over the soil's spread and the equations' error."""
        value = figure(self.water())
        if self.own is not None:
            others = [figure(water) for water in _either_side(self.own)]
        else:
            others = [
                figure(self.water(sand, clay))
                for sand in self.sand
                for clay in self.clay
                if sand + clay <= 1.0
            ]
        reach = EIGHT_IN_TEN * error
        low = value - float(np.hypot(value - min(others), reach))
        high = value + float(np.hypot(max(others) - value, reach))
        return value, max(low, 0.0), high


@reckoner(
    "soil-water",
    [
        Input("soil", "choice", default="unknown", choices=tuple(soil_textures())),
        Input("sand", "float", "%", 0, 100, optional=True),
        Input("clay", "float", "%", 0, 100, optional=True),
        Input("organic_matter", "float", "%", 0, 100, optional=True),
        Input("stones", "float", "%", 0, 89, default="0"),
        Input("crop", "crop", optional=True),
        Input("roots", "float", "m", 0.05, 3, optional=True),
        Input("et0", "float", "mm", 0.1, 20, default="4"),
    ],
)
def soil_water(
    *,
    soil: str,
    sand: float | None,
    clay: float | None,
    organic_matter: float | None,
    stones: float,
    crop: Crop | None,
    roots: float | None,
    et0: float,
) -> list[Answer]:
    """Water held by a soil, for how long it lasts, and what more organic matter or depth bring."""
    texture = soil_texture(soil)
    ground = _ground(texture, sand, clay, organic_matter, stones)
    said, cautions = _told(texture, ground, sand is not None)
    asks = None if crop is None else crop_water(crop.key)
    depth = roots or (asks.root_least_m if asks else USUAL_ROOTS_M)
    shares = [_share(ground, name, said) for name in _ERRORS]
    available = ground.spread(_available, _ERRORS["field_capacity"])
    sources = _SOURCES if texture.own_hydraulics is None or sand is not None else ("memory",)

    def answer(
        name: str, found: Sequence[float], unit: str, *working: Text, more: tuple[str, ...] = ()
    ) -> Answer:
        low, high = (found[1], found[2]) if len(found) == 3 else (None, None)
        cited = tuple(dict.fromkeys((*sources, *more)))
        return Answer(name, found[0], low, high, unit, (*said, *working), cited, cautions)

    held = [1000.0 * depth * share for share in available]
    per_dm = text("reckoner.soil.per_dm", mm=100.0 * available[0])
    reach = text("reckoner.soil.reach", depth=100.0 * depth, mm=held[0])
    who = text("reckoner.soil.no_crop", depth=100.0 * depth)
    if crop is not None:
        who = text("reckoner.soil.crop", crop=crop.key, depth=100.0 * depth)
    kc = asks.kc[1] if asks else 1.0
    p = asks.depletion if asks else USUAL_DEPLETION
    fraction = float(depletion_fraction(p, kc * et0))
    easy = [fraction * mm for mm in held]
    days = [mm / (kc * et0) for mm in easy]
    lasts = text("reckoner.soil.lasts", mm=easy[0], kc=kc, et0=et0, used=kc * et0)
    fao = ("fao56", asks.source if asks else "assumed")
    answers = [
        *shares,
        answer("available water, each 10 cm", [100.0 * share for share in available], "mm", per_dm),
        answer("within reach of roots", held, "mm", who, reach),
        answer(
            "used before growth slows",
            easy,
            "mm",
            who,
            reach,
            text("reckoner.soil.easy", share=fraction, mm=easy[0]),
            more=fao,
        ),
        answer("days that lasts", days, "d", who, lasts, more=fao),
        *_air(ground, answer),
    ]
    return [*answers, *_more(ground, depth, held[0], answer)]


def _ground(
    texture: SoilTexture,
    sand: float | None,
    clay: float | None,
    organic: float | None,
    stones: float,
) -> _Soil:
    if (sand is None) != (clay is None):
        lacking = "sand" if sand is None else "clay"
        raise refuse("soil-water", lacking, "nothing", "both sand and clay in %, or neither")
    om = texture.organic_matter.value if organic is None else organic
    if sand is None or clay is None:
        shares = [
            tuple(value / 100.0 for value in (part.value, part.low, part.high))
            for part in (texture.sand, texture.clay)
        ]
        own = None if texture.own_hydraulics is None else texture
        return _Soil(shares[0], shares[1], om, stones, own)  # type: ignore[arg-type]
    if sand + clay > 100.0:
        found = f"{clay:g} % clay and {sand:g} % sand"
        raise refuse(
            "soil-water", "sand", found, "100 % at most: with the silt they make 100 % together"
        )
    s, c = sand / 100.0, clay / 100.0
    return _Soil((s, s, s), (c, c, c), om, stones, None)


def _told(
    texture: SoilTexture, ground: _Soil, measured: bool
) -> tuple[tuple[Text, ...], tuple[Text, ...]]:
    """What the answers rest on, and what to mind."""
    code = "measured" if measured else "word"
    said = text(
        f"reckoner.soil.{code}",
        soil=texture.name,
        sand=ground.sand[0],
        clay=ground.clay[0],
        organic=ground.organic / 100.0,
    )
    cautions = []
    if not measured and texture.unknown:
        cautions.append(text("reckoner.soil.unknown"))
    if ground.own is not None:
        return (text("reckoner.soil.peat"),), (text("reckoner.soil.peat_wide"),)
    if ground.clay[0] > GREATEST_CLAY:
        cautions.append(text("reckoner.soil.too_much_clay", most=GREATEST_CLAY))
    if ground.organic > GREATEST_ORGANIC_MATTER:
        cautions.append(
            text("reckoner.soil.too_much_organic", most=GREATEST_ORGANIC_MATTER / 100.0)
        )
    stones = (text("reckoner.soil.stones", stones=ground.stones / 100.0),) if ground.stones else ()
    return (said, *stones), (text("reckoner.soil.fitted"), *cautions)


def _either_side(texture: SoilTexture) -> list[Hydraulics]:
    """A soil of its own figures, with each of them in turn at either end of its spread."""
    usual = texture.own_hydraulics
    if usual is None:
        return []
    ends = {
        "wilting_point": texture.wilting_point,
        "field_capacity": texture.field_capacity,
        "saturation": texture.saturation,
        "conductivity_mm_h": texture.conductivity,
    }
    return [
        replace(usual, **{name: np.array(end)})
        for name, figure in ends.items()
        if figure is not None
        for end in (figure.low, figure.high)
    ]


def _available(water: Hydraulics) -> float:
    return float(water.field_capacity - water.wilting_point)


def _share(ground: _Soil, name: str, said: tuple[Text, ...]) -> Answer:
    """One water content in % of the soil's room."""
    texture = ground.own
    own = None if texture is None else getattr(texture, name)
    if own is None:
        value, low, high = ground.spread(lambda water: float(getattr(water, name)), _ERRORS[name])
        sources = _SOURCES
    else:
        value, low, high, sources = own.value, own.low, own.high, (own.source,)
    return Answer(
        name.replace("_", " "),
        100.0 * value,
        100.0 * low,
        100.0 * min(high, 1.0),
        "%",
        (*said, text(f"reckoner.soil.{name}")),
        sources,
    )


def _air(ground: _Soil, answer: Callable[..., Answer]) -> list[Answer]:
    def air(water: Hydraulics) -> float:
        return 100.0 * float(water.saturation - water.field_capacity)

    def drains(water: Hydraulics) -> float:
        speed = np.maximum(water.conductivity_mm_h, LEAST_CONDUCTIVITY_MM_H)
        return float(days_to_drain(daily_drainage_share(speed)))

    found = ground.spread(air, 0.0)
    little = (text("reckoner.soil.little_air"),) if found[0] < 10.0 else ()
    slow = ground.spread(drains, 0.0)
    return [
        answer("air at field capacity", found, "%", text("reckoner.soil.air"), *little),
        answer("days to drain", slow, "d", text("reckoner.soil.drains"), more=("raes-2009",)),
    ]


def _more(ground: _Soil, depth: float, held: float, answer: Callable[..., Answer]) -> list[Answer]:
    """What one more per cent of organic matter, or deeper roots, would bring [mm]."""
    found = []
    if ground.own is None and ground.organic + MORE_ORGANIC <= GREATEST_ORGANIC_MATTER:
        richer = replace(ground, organic=ground.organic + MORE_ORGANIC)
        gain = 1000.0 * depth * _available(richer.water()) - held
        told = text("reckoner.soil.richer", mm=gain, depth=100.0 * depth)
        if gain <= 0.0:
            told = text("reckoner.soil.no_richer")
        found.append(answer("gain by 1 % more organic matter", [max(gain, 0.0)], "mm", told))
    deeper = held * MORE_DEPTH_M / depth
    told = text("reckoner.soil.deeper", mm=deeper)
    return [*found, answer("gain by roots 10 cm deeper", [deeper], "mm", told)]
