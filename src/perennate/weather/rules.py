"""Go or no go: what to look at on the day before a frost-tender job, whatever the plan says.

The plan's date rests on what the years are like; the day itself is known only when it is near.
Common practice: the soil is read in the morning, when it is coldest, on three days running; the
forecast is worth trusting for about a week; on a clear still night the air at leaf height is 2 to
4 degrees colder than the screen thermometer at 1.5 to 2 m.
"""

from perennate.terms import Text, text

MORNINGS = 3
SOIL_DEPTH_CM = 5
FORECAST_NIGHTS = 7
COLDER_AT_LEAF_K = (2.0, 4.0)


def soil_warm_rule(minimum_c: float, depth_cm: int = SOIL_DEPTH_CM) -> Text:
    """Go when the soil has reached the crop's minimum [degC] on three mornings running."""
    return text(
        "weather.rule_soil_warm",
        minimum=round(minimum_c, 1),
        mornings=MORNINGS,
        depth=depth_cm,
    )


def forecast_night_rule(limit_c: float, nights: int = FORECAST_NIGHTS) -> Text:
    """Go when no night foretold is below the limit [degC] that the crop stands.

    The night must be foretold warmer than the limit by what leaves lose on a clear night.
    """
    return text(
        "weather.rule_forecast_nights",
        limit=round(limit_c, 1),
        foretold=round(limit_c + COLDER_AT_LEAF_K[0], 1),
        nights=nights,
    )
