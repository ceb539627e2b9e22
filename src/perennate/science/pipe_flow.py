"""Pressure that water loses on its way through a full pipe.

Flow in l/h, inside diameter in mm, length in m, head in m of water, temperature in degC. Arguments
may be arrays and broadcast. Joints, bends and valves are not counted.

References
----------
.. [1] White, F.M. (2003), Fluid Mechanics, 5th edition, McGraw-Hill, chapter 6: f = 64/Re
   (Hagen, Poiseuille), 0.3164 Re^-1/4 (Blasius, 4000 < Re < 10^5), head loss f L/d V^2/2g (Darcy,
   Weisbach), table of smooth pipes after equation 6.54.
.. [2] Swamee, P.K., Jain, A.K. (1976), Explicit equations for pipe-flow problems, Journal of the
   Hydraulics Division ASCE 102:657-664.
.. [3] Williams, G.S., Hazen, A. (1905), Hydraulic Tables, Wiley; in SI units
   h = 10.67 L Q^1.852/(C^1.852 d^4.87) with Q in m3/s and d in m.
.. [4] Viscosity of water 2.414e-5 x 10^(247.8/(T - 140)) Pa s, T in K (from memory; 1.002e-3 at
   20 degC).
"""

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Law = Literal["darcy-weisbach", "hazen-williams"]

LAWS: tuple[Law, ...] = get_args(Law)

GRAVITY = 9.80665
"""Fall of the earth [m s-2]."""

KPA_PER_M = 9.80665
"""Pressure under a metre of water [kPa m-1]."""

PLASTIC_ROUGHNESS_C = 150.0
"""Hazen-Williams coefficient of smooth plastic pipe [-] (common practice; 130 to 140 for pipe
under 15 mm)."""

USUAL_WATER_C = 20.0

_CRAWL, _LAMINAR, _TURBULENT, _BLASIUS_TO = 1e-6, 2000.0, 4000.0, 1e5
_HAZEN_EXPONENT = 1.852


def kinematic_viscosity(water_c: ArrayLike = USUAL_WATER_C) -> Floats:
    """Viscosity over density of water [m2 s-1] from 0 to 60 degC [4]_; ValueError beyond."""
    warmth = np.asarray(water_c, dtype=np.float64)
    if not np.all((warmth >= 0.0) & (warmth <= 60.0)):
        raise ValueError("water is expected between 0 and 60 degC")
    viscosity = 2.414e-5 * 10.0 ** (247.8 / (warmth + 273.15 - 140.0))
    return np.asarray(viscosity / (1000.0 - 0.0050 * (warmth - 4.0) ** 2))


def velocity(flow_l_h: ArrayLike, diameter_mm: ArrayLike) -> Floats:
    """Mean speed of the water [m s-1]."""
    across = np.pi / 4.0 * (_diameter(diameter_mm) / 1000.0) ** 2
    return np.asarray(_flow(flow_l_h) / 3.6e6 / across)


def reynolds(
    flow_l_h: ArrayLike, diameter_mm: ArrayLike, water_c: ArrayLike = USUAL_WATER_C
) -> Floats:
    """Reynolds number [-]: below 2000 laminar, above 4000 turbulent."""
    speed = velocity(flow_l_h, diameter_mm)
    return np.asarray(speed * _diameter(diameter_mm) / 1000.0 / kinematic_viscosity(water_c))


def friction_factor(reynolds_number: ArrayLike, relative_roughness: float = 0.0) -> Floats:
    """Darcy friction factor [-]; below a Reynolds number of 1e-6 that of 1e-6.

    Laminar 64/Re up to 2000, smooth pipe by Blasius from 4000 to 1e5 [1]_, beyond that and for
    rough pipe by Swamee and Jain [2]_; between 2000 and 4000, where neither law holds, on the
    line between them. `relative_roughness`: height of the roughness over the diameter.
    """
    number = np.maximum(np.asarray(reynolds_number, dtype=np.float64), _CRAWL)
    laminar = 64.0 / number
    busy = np.maximum(number, _TURBULENT)
    turbulent = _swamee_jain(busy, relative_roughness)
    if relative_roughness == 0.0:
        turbulent = np.where(busy <= _BLASIUS_TO, 0.3164 * busy**-0.25, turbulent)
    share = np.clip((number - _LAMINAR) / (_TURBULENT - _LAMINAR), 0.0, 1.0)
    end_of_laminar = 64.0 / _LAMINAR
    beyond = end_of_laminar + (turbulent - end_of_laminar) * share
    return np.where(number > _LAMINAR, beyond, laminar)


def head_loss_darcy(
    flow_l_h: ArrayLike,
    diameter_mm: ArrayLike,
    length_m: ArrayLike,
    water_c: ArrayLike = USUAL_WATER_C,
    relative_roughness: float = 0.0,
) -> Floats:
    """Head lost [m] by Darcy and Weisbach [1]_; right for slow flow and any temperature."""
    flow = _flow(flow_l_h)
    factor = friction_factor(reynolds(flow, diameter_mm, water_c), relative_roughness)
    speed = velocity(flow, diameter_mm)
    across = _diameter(diameter_mm) / 1000.0
    return np.asarray(factor * _length(length_m) / across * speed**2 / (2.0 * GRAVITY))


def head_loss_hazen_williams(
    flow_l_h: ArrayLike,
    diameter_mm: ArrayLike,
    length_m: ArrayLike,
    smoothness: float = PLASTIC_ROUGHNESS_C,
) -> Floats:
    """Head lost [m] by Hazen and Williams [3]_: turbulent water near 15 degC in wider pipes.

    In drip lines, whose far ends run slowly, it errs; `head_loss_darcy` does not.
    """
    flow = _flow(flow_l_h) / 3.6e6
    across = _diameter(diameter_mm) / 1000.0
    return np.asarray(
        10.67 * _length(length_m) * (flow / smoothness) ** _HAZEN_EXPONENT / across**4.87
    )


def head_loss(
    flow_l_h: ArrayLike,
    diameter_mm: ArrayLike,
    length_m: ArrayLike,
    law: Law = "darcy-weisbach",
    water_c: ArrayLike = USUAL_WATER_C,
) -> Floats:
    """Head lost [m] in smooth plastic pipe by one of LAWS."""
    if law == "hazen-williams":
        return head_loss_hazen_williams(flow_l_h, diameter_mm, length_m)
    return head_loss_darcy(flow_l_h, diameter_mm, length_m, water_c)


def _swamee_jain(number: Floats, relative_roughness: float) -> Floats:
    inside = relative_roughness / 3.7 + 5.74 / number**0.9
    return np.asarray(0.25 / np.log10(inside) ** 2)


def _flow(flow_l_h: ArrayLike) -> Floats:
    flow = np.asarray(flow_l_h, dtype=np.float64)
    if not np.all(flow >= 0.0):
        raise ValueError("a flow is not below 0")
    return flow


def _diameter(diameter_mm: ArrayLike) -> Floats:
    across = np.asarray(diameter_mm, dtype=np.float64)
    if not np.all(across > 0.0):
        raise ValueError("a diameter must be above 0")
    return across


def _length(length_m: ArrayLike) -> Floats:
    length = np.asarray(length_m, dtype=np.float64)
    if not np.all(length >= 0.0):
        raise ValueError("a length is not below 0")
    return length
