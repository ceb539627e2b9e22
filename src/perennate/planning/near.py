"""What readings and a forecast say of the jobs of the coming fortnight."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from perennate.planning.plan import Job
from perennate.terms import Text, text
from perennate.weather.recent import NearTerm, chance_of_frost, soil_warm_since

NIGHTS = 7
"""A forecast is worth trusting for about so many nights."""


def with_near_term(jobs: Sequence[Job], near: NearTerm) -> tuple[Job, ...]:
    """Jobs that carry a go or no-go rule, with what is known today of soil and nights added."""
    return tuple(
        replace(job, go=(*job.go, *_known_now(job, near))) if job.go else job for job in jobs
    )


def _known_now(job: Job, near: NearTerm) -> list[Text]:
    last = near.first + timedelta(len(near.kind) - 1)
    if not near.as_of <= job.best <= last:
        return []
    known: list[Text] = []
    for rule in job.go:
        given = dict(rule.params)
        if rule.code == "weather.rule_soil_warm":
            minimum = float(str(given["minimum"]))
            warm = soil_warm_since(near, minimum)
            known.append(
                text("near.soil_cold", minimum=minimum, last=last)
                if warm is None
                else text("near.soil_warm", minimum=minimum, first=warm)
            )
        elif rule.code == "weather.rule_forecast_nights":
            limit = float(str(given["limit"]))
            first = near.index(job.best)
            nights = chance_of_frost(near, limit)[first : first + NIGHTS]
            worst = int(nights.argmax())
            known.append(
                text(
                    "near.nights",
                    limit=limit,
                    percent=round(100 * float(nights[worst])),
                    night=job.best + timedelta(worst),
                )
            )
    return known
