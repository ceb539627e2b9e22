"""The tables of the store.

The rows of a holding have the columns of its tables, under the same names; what a column means is
said in the table's schema. They are written by one function alone (see `door.py`).
"""

from typing import Any, ClassVar

from django.db import models
from django.db.models import Q

_WORD = 200


class Holding(models.Model):
    """A holding. `settings` is what its holding.toml says; `edition` counts its changes; `places`
    counts the places in the order of its rows that were ever taken: none is given twice."""

    slug = models.SlugField(max_length=80, unique=True, allow_unicode=True)
    name = models.TextField()
    settings: Any = models.JSONField()
    edition = models.PositiveIntegerField(default=0)
    places = models.PositiveBigIntegerField(default=0)
    plan = models.ForeignKey(
        "Plan", on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    begun = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering: ClassVar[list[str]] = ["slug"]

    def __str__(self) -> str:
        return self.slug


class HoldingRow(models.Model):
    """A row of one of the holding's tables, known by its key, in the grower's order."""

    key = models.CharField(max_length=_WORD)
    position = models.PositiveBigIntegerField()

    class Meta:
        abstract = True
        ordering: ClassVar[list[str]] = ["position"]

    def __str__(self) -> str:
        return self.key


def _of_holding(name: str) -> Any:
    return models.ForeignKey(Holding, on_delete=models.CASCADE, related_name=name)


def _one_of_a_key(table: str) -> list[models.BaseConstraint]:
    return [models.UniqueConstraint(fields=["holding", "key"], name=f"{table}_key_once")]


class Bed(HoldingRow):
    holding = _of_holding("beds")
    length_m = models.FloatField()
    width_m = models.FloatField()
    light = models.TextField()
    soil = models.TextField()
    x_m = models.FloatField(null=True)
    y_m = models.FloatField(null=True)
    diseases: Any = models.JSONField(default=list)
    free_from = models.DateField(null=True)
    free_to = models.DateField(null=True)
    note = models.TextField(blank=True)
    organic_matter = models.FloatField(null=True)
    stones = models.FloatField(null=True)
    sand = models.FloatField(null=True)
    clay = models.FloatField(null=True)
    loosened_cm = models.FloatField(null=True)
    pan_cm = models.FloatField(null=True)
    mulch = models.TextField(default="none")
    mulch_cm = models.FloatField(null=True)
    cover = models.TextField(default="open")
    sheltered = models.BooleanField(default=False)
    source = models.CharField(max_length=_WORD, blank=True, default="")
    watering = models.TextField(blank=True, default="")
    ece_ds_m = models.FloatField(null=True)
    ece_on = models.DateField(null=True)

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("bed")


class WaterSource(HoldingRow):
    """Where water comes from, what it can give and what was found in it."""

    holding = _of_holding("water_sources")
    kind = models.TextField()
    flow_l_min = models.FloatField(null=True)
    pressure_bar = models.FloatField(null=True)
    per_week_l = models.FloatField(null=True)
    per_season_l = models.FloatField(null=True)
    tank_l = models.FloatField(null=True)
    level_l = models.FloatField(null=True)
    roof_m2 = models.FloatField(null=True)
    roof_kind = models.TextField()
    first_flush_l = models.FloatField(null=True)
    tested = models.DateField(null=True)
    ec_ds_m = models.FloatField(null=True)
    ph = models.FloatField(null=True)
    tds_mg_l = models.FloatField(null=True)
    sodium_mg_l = models.FloatField(null=True)
    calcium_mg_l = models.FloatField(null=True)
    magnesium_mg_l = models.FloatField(null=True)
    potassium_mg_l = models.FloatField(null=True)
    chloride_mg_l = models.FloatField(null=True)
    bicarbonate_mg_l = models.FloatField(null=True)
    carbonate_mg_l = models.FloatField(null=True)
    sulphate_mg_l = models.FloatField(null=True)
    boron_mg_l = models.FloatField(null=True)
    nitrate_n_mg_l = models.FloatField(null=True)
    iron_mg_l = models.FloatField(null=True)
    free_chlorine_mg_l = models.FloatField(null=True)
    chloramine_mg_l = models.FloatField(null=True)
    sar_adjusted = models.FloatField(null=True)
    germs = models.TextField()
    note = models.TextField(blank=True)

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("water_source")


class Aim(HoldingRow):
    holding = _of_holding("aims")
    kind = models.TextField()
    crop = models.TextField(blank=True)
    variety = models.TextField(blank=True)
    amount = models.FloatField()
    unit = models.TextField()
    per = models.TextField()
    start = models.DateField(null=True)
    end = models.DateField(null=True)
    priority = models.PositiveSmallIntegerField()
    note = models.TextField(blank=True)

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("aim")


class Lot(HoldingRow):
    holding = _of_holding("lots")
    crop = models.TextField()
    variety = models.TextField(blank=True)
    kind = models.TextField()
    amount = models.FloatField(null=True)
    unit = models.TextField()
    year = models.IntegerField(null=True)
    germination = models.FloatField(null=True)
    tested = models.DateField(null=True)
    origin = models.TextField(blank=True)
    parents: Any = models.JSONField(default=list)
    treated = models.BooleanField(null=True)
    note = models.TextField(blank=True)

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("lot")


class LotMove(HoldingRow):
    """A movement, in whole seeds, milligrams or pieces; negative goes out."""

    holding = _of_holding("lot_moves")
    lot = models.CharField(max_length=_WORD)
    day = models.DateField()
    change = models.BigIntegerField()
    unit = models.TextField()
    why = models.TextField(blank=True)

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("lot_move")


class Tree(HoldingRow):
    holding = _of_holding("trees")
    species = models.TextField()
    rootstock = models.TextField(blank=True)
    planted = models.DateField(null=True)
    x_m = models.FloatField(null=True)
    y_m = models.FloatField(null=True)
    note = models.TextField(blank=True)

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("tree")


class Limb(HoldingRow):
    holding = _of_holding("limbs")
    tree = models.CharField(max_length=_WORD)
    variety = models.TextField(blank=True)
    grafted = models.DateField(null=True)
    note = models.TextField(blank=True)

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("limb")


class Planting(HoldingRow):
    """What stands, stood, is fixed, wished or refused by the grower's own hand."""

    holding = _of_holding("plantings")
    hand = models.TextField()
    crop = models.TextField(blank=True)
    variety = models.TextField(blank=True)
    bed = models.CharField(max_length=_WORD, blank=True)
    sown = models.DateField(null=True)
    ground_from = models.DateField(null=True)
    ground_to = models.DateField(null=True)
    start_m = models.FloatField(null=True)
    length_m = models.FloatField(null=True)
    plants = models.IntegerField(null=True)
    lot = models.CharField(max_length=_WORD, blank=True)
    note = models.TextField(blank=True)
    aim = models.CharField(max_length=_WORD, blank=True)

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("planting")


class Record(HoldingRow):
    """What was done or seen; `job` is the key of the plan's job that it did."""

    holding = _of_holding("records")
    day = models.DateField()
    kind = models.TextField()
    crop = models.TextField(blank=True)
    place = models.TextField(blank=True)
    amount = models.FloatField(null=True)
    unit = models.TextField(blank=True)
    minutes = models.FloatField(null=True)
    who = models.TextField(blank=True)
    note = models.TextField(blank=True)
    job = models.CharField(max_length=_WORD, blank=True)
    part = models.BooleanField(default=False)

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("record")


class OwnValue(HoldingRow):
    """A figure of the catalogue that this holding replaces by its own."""

    holding = _of_holding("own_values")
    crop = models.TextField()
    figure = models.TextField()
    value = models.FloatField()
    low = models.FloatField()
    high = models.FloatField()
    unit = models.TextField(blank=True)
    source = models.TextField()
    basis = models.TextField()

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("own_value")


class Blob(models.Model):
    """The content of a weather file, known by its digest (SHA-256) and never altered."""

    digest = models.CharField(max_length=64, primary_key=True)
    content = models.BinaryField()

    def __str__(self) -> str:
        return self.digest


class WeatherFile(HoldingRow):
    """A weather file of the holding: `key` is its name."""

    holding = _of_holding("weather")
    blob = models.CharField(max_length=64)

    class Meta(HoldingRow.Meta):
        constraints = _one_of_a_key("weather_file")


class Change(models.Model):
    """One change as it passed the door: what it was, and every row before and after it.

    `said` holds what the change does to the plan. `undoes` is the change that this one takes back.
    """

    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="changes")
    number = models.PositiveIntegerField()
    made = models.DateTimeField(auto_now_add=True)
    what: Any = models.JSONField()
    said: Any = models.JSONField(default=list)
    rows: Any = models.JSONField()
    undoes = models.OneToOneField(
        "self", on_delete=models.RESTRICT, null=True, related_name="undone_by"
    )

    class Meta:
        ordering: ClassVar[list[str]] = ["-number"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["holding", "number"], name="change_number_once")
        ]

    def __str__(self) -> str:
        return f"{self.holding_id}/{self.number}"


class Plan(models.Model):
    """A plan as it was made, with what it was made from; never altered.

    `content` is its plan.json and `inputs` the holding, weather and choices, both compressed.
    """

    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="plans")
    number = models.PositiveIntegerField()
    made = models.DateTimeField(auto_now_add=True)
    as_of = models.DateField()
    version = models.CharField(max_length=20)
    content = models.BinaryField()
    inputs = models.BinaryField()

    class Meta:
        ordering: ClassVar[list[str]] = ["-number"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["holding", "number"], name="plan_number_once")
        ]

    def __str__(self) -> str:
        return f"{self.holding_id}/{self.number}"


class PlanRun(models.Model):
    """A planning in the background, from the wish to its end.

    `again` is what was asked for meanwhile (day, effort, seed) and is to follow; `tries` counts
    how often its child was begun because the one before was lost.
    """

    class State(models.TextChoices):
        WAITING = "waiting"
        RUNNING = "running"
        DONE = "done"
        STOPPED = "stopped"
        FAILED = "failed"
        LOST = "lost"

    UNDER_WAY = (State.WAITING, State.RUNNING)

    holding = models.ForeignKey(Holding, on_delete=models.CASCADE, related_name="runs")
    state = models.CharField(max_length=10, choices=State, default=State.WAITING)
    asked = models.DateTimeField(auto_now_add=True)
    heartbeat = models.DateTimeField(null=True)
    ended = models.DateTimeField(null=True)
    process = models.IntegerField(null=True)
    stage = models.TextField(blank=True)
    share = models.FloatField(default=0.0)
    as_of = models.DateField()
    effort = models.CharField(max_length=10, default="usual")
    seed = models.PositiveIntegerField(default=0)
    edition = models.PositiveIntegerField()
    fault: Any = models.JSONField(default=list)
    again: Any = models.JSONField(null=True)
    tries = models.PositiveSmallIntegerField(default=1)
    plan = models.ForeignKey(Plan, on_delete=models.SET_NULL, null=True, related_name="+")

    class Meta:
        ordering: ClassVar[list[str]] = ["-id"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(
                fields=["holding"],
                condition=Q(state__in=("waiting", "running")),
                name="one_run_at_a_time",
            )
        ]

    def __str__(self) -> str:
        return f"{self.holding_id}: {self.state}"

    @property
    def is_begun_again(self) -> bool:
        """Whether the run before it was cut off, so that this one was begun in its place."""
        before = PlanRun.objects.filter(holding=self.holding_id, pk__lt=self.pk).first()
        return before is not None and before.state == self.State.LOST

    @property
    def is_under_way(self) -> bool:
        return self.state in self.UNDER_WAY
