"""What an analysis of water means for soil, leaves, crops and whoever eats them."""

from perennate.catalogue.model import Crop
from perennate.catalogue.salt_tolerance import RATINGS, salt_tolerance
from perennate.reckoner.registry import Answer, Input, reckoner
from perennate.reckoner.site import YesNo
from perennate.reckoner.water_report import GERMS, KINDS, SHORT, read_analysis
from perennate.science.salinity import EXTRACT_PER_WATER, relative_yield
from perennate.science.water_quality import (
    WaterAnalysis,
    WaterClass,
    acid_for,
    carries_germs,
    charge_balance,
    nitrogen_fed,
    sodium_ratio,
    water_classes,
    worst,
)
from perennate.terms import Text, text

NAME = "water-quality"
INPUTS = (
    Input("kind", "choice", default="unknown", choices=KINDS),
    *(
        Input(
            short,
            "text",
            {"ec": "dS/m", "ph": "", "sar_adjusted": ""}.get(short, "mg/l"),
            None,
            None,
            optional=True,
        )
        for short in SHORT
    ),
    Input("hardness", "text", "mg/l CaCO3", optional=True),
    Input("germs", "choice", default="untested", choices=GERMS),
    Input("overhead", "choice", default="no", choices=("no", "yes")),
    Input("bed_sar", "float", "", 0, 100, optional=True),
    Input("crop", "crop", optional=True),
)
_SOURCES = {
    "chlorine": ("cayanan-2009", "donovan-2015"),
    "iron": ("bucks-nakayama-1980",),
    "residual_carbonate": ("salinity-guide-2007",),
}
_GRAVE = ("slight to moderate", "severe")
_LITTLE_SODIUM = 3.0


@reckoner(NAME, INPUTS)
def water_quality(
    kind: str,
    ec: str | None,
    ph: str | None,
    tds: str | None,
    sodium: str | None,
    calcium: str | None,
    magnesium: str | None,
    potassium: str | None,
    chloride: str | None,
    bicarbonate: str | None,
    carbonate: str | None,
    sulphate: str | None,
    boron: str | None,
    nitrate: str | None,
    iron: str | None,
    free_chlorine: str | None,
    chloramine: str | None,
    sar_adjusted: str | None,
    hardness: str | None,
    germs: str,
    overhead: YesNo,
    bed_sar: float | None,
    crop: Crop | None,
) -> list[Answer]:
    """Each hazard of a water by FAO-29, what it brings and takes, and the leaves to keep it off.

    Raises BadInput where a figure is likely in another unit than it says.
    """
    typed = {
        "kind": kind,
        "ec": ec,
        "ph": ph,
        "tds": tds,
        "sodium": sodium,
        "calcium": calcium,
        "magnesium": magnesium,
        "potassium": potassium,
        "chloride": chloride,
        "bicarbonate": bicarbonate,
        "carbonate": carbonate,
        "sulphate": sulphate,
        "boron": boron,
        "nitrate": nitrate,
        "iron": iron,
        "free_chlorine": free_chlorine,
        "chloramine": chloramine,
        "sar_adjusted": sar_adjusted,
        "hardness": hardness,
        "germs": germs,
    }
    analysis = read_analysis({name: cell for name, cell in typed.items() if cell}, NAME)
    classes = water_classes(analysis, overhead == "yes", bed_sar)
    answers = [_whole(classes, analysis), _raw(analysis)]
    answers += [_hazard(one, analysis, hardness is not None) for one in classes]
    answers += _balance(analysis)
    if analysis.nitrate_n_mg_l is not None:
        fed = nitrogen_fed(analysis.nitrate_n_mg_l, 100.0)
        feed = text("reckoner.analysis.feed", grams=fed)
        answers.append(
            Answer("nitrogen in 100 mm of it", fed, None, None, "g/m2", (feed,), ("fao29",))
        )
    if crop is not None:
        answers += _crop(crop, analysis)
    return answers


def _whole(classes: tuple[WaterClass, ...], analysis: WaterAnalysis) -> Answer:
    rating = worst(classes)
    known = [one for one in classes if one.rating != "unknown"]
    working = [text("reckoner.analysis.judged", known=len(known), all=len(classes))]
    cautions = [] if len(known) == len(classes) else [text("reckoner.analysis.unsafe")]
    if not analysis.measured:
        cautions = [text("reckoner.analysis.nothing")]
    return Answer("as a whole", rating, None, None, "", tuple(working), ("fao29",), tuple(cautions))


def _raw(analysis: WaterAnalysis) -> Answer:
    kept_off = carries_germs(analysis.kind, analysis.germs)
    told = text("reckoner.analysis.germs" if kept_off else "reckoner.analysis.clean")
    return Answer(
        "on leaves eaten raw",
        "keep off" if kept_off else "may be used",
        None,
        None,
        "",
        (told,),
        ("common-practice",),
        (text("reckoner.analysis.authority"),),
    )


def _hazard(one: WaterClass, analysis: WaterAnalysis, from_hardness: bool) -> Answer:
    working: list[Text] = []
    cautions: list[Text] = []
    if one.value is None or one.rating == "unknown":
        working.append(text("reckoner.analysis.unknown"))
    else:
        working.append(
            text("reckoner.analysis.found", value=one.value, unit=one.unit)
            if one.unit
            else text("reckoner.analysis.found_bare", value=one.value)
        )
    working.append(text(f"reckoner.analysis.{one.hazard}"))
    if one.unit == "SAR" and one.value is not None:
        working.append(_way(analysis))
        if from_hardness:
            working.append(text("reckoner.analysis.hardness"))
    if one.hazard == "infiltration" and one.rating in _GRAVE:
        little = one.value is not None and one.value < _LITTLE_SODIUM
        cautions.append(
            text("reckoner.analysis.little_sodium" if little else "reckoner.analysis.sealing")
        )
    if one.hazard == "bicarbonate" and one.rating in _GRAVE:
        acid = acid_for(analysis.bicarbonate_mg_l or 0.0)
        cautions.append(text("reckoner.analysis.deposit", acid=acid))
    if one.hazard == "chlorine" and one.rating in _GRAVE:
        cautions.append(text("reckoner.analysis.standing"))
    if one.hazard in ("sodium", "chloride") and one.unit == "meq/l" and one.rating in _GRAVE:
        cautions.append(text("reckoner.analysis.burn"))
    if one.hazard == "nitrate" and one.rating == "severe":
        cautions.append(text("reckoner.analysis.drink"))
    sources = _SOURCES.get(one.hazard, ("fao29",))
    if one.unit == "SAR" and sodium_ratio(analysis)[1] == "lime in balance":
        sources = (*sources, "suarez-1981")
    name = one.hazard.replace("_", " ")
    return Answer(name, one.rating, None, None, "", tuple(working), sources, tuple(cautions))


def _way(analysis: WaterAnalysis) -> Text:
    ratio, way = sodium_ratio(analysis)
    if ratio is None:
        return text("reckoner.analysis.of_bed")
    if way == "laboratory":
        return text("reckoner.analysis.from_laboratory", ratio=ratio)
    if way == "plain":
        return text("reckoner.analysis.plain_ratio", ratio=ratio)
    return text("reckoner.analysis.adjusted", ratio=ratio)


def _balance(analysis: WaterAnalysis) -> list[Answer]:
    off = charge_balance(analysis)
    if off is None:
        return []
    told = text("reckoner.analysis.charges")
    return [Answer("charges out of balance", off, None, None, "%", (told,), ("fao29",))]


def _crop(crop: Crop, analysis: WaterAnalysis) -> list[Answer]:
    tolerance, salt = salt_tolerance(crop.key), analysis.salt_ds_m
    answers: list[Answer] = []
    name = f"yield of {crop.common_name.casefold()} that salt leaves"
    if tolerance is None or tolerance.threshold is None or tolerance.slope is None:
        rating = "" if tolerance is None else RATINGS.get(tolerance.rating, "")
        told = text("reckoner.analysis.rated", crop=crop.key, rating=rating) if rating else None
        told = told or text("reckoner.analysis.no_tolerance", crop=crop.key)
        source = "memory" if tolerance is None else tolerance.source
        answers.append(Answer(name, "unknown", None, None, "", (told,), (source,)))
    elif salt is None:
        told = text("reckoner.analysis.unknown")
        answers.append(
            Answer(name, "unknown", None, None, "", (told,), (tolerance.source, "fao29"))
        )
    else:
        threshold, slope = tolerance.threshold.value, tolerance.slope.value
        ece = salt * EXTRACT_PER_WATER
        share = float(relative_yield(ece, threshold, slope))
        working = [text("reckoner.analysis.yield", ece=ece, threshold=threshold, slope=slope)]
        if tolerance.stands_for:
            working.append(text("reckoner.analysis.stands", other_crop=tolerance.stands_for))
        cautions = (text("reckoner.analysis.long_run"), text("reckoner.analysis.seedlings"))
        answers.append(
            Answer(
                name,
                share * 100,
                None,
                None,
                "%",
                tuple(working),
                (tolerance.source, "fao29"),
                cautions,
            )
        )
    if analysis.boron_mg_l is not None:
        answers.append(_boron(crop, analysis.boron_mg_l))
    return answers


def _boron(crop: Crop, boron_mg_l: float) -> Answer:
    tolerance = salt_tolerance(crop.key)
    name = f"boron for {crop.common_name.casefold()}"
    if tolerance is None or tolerance.boron is None:
        told = text("reckoner.analysis.no_boron", crop=crop.key)
        return Answer(name, "unknown", None, None, "", (told,), ("fao29",))
    low, high = tolerance.boron.low, tolerance.boron.high
    verdict = "borne" if boron_mg_l <= low else "doubtful" if boron_mg_l <= high else "too much"
    told = text("reckoner.analysis.boron_class", boron=boron_mg_l, low=low, high=high)
    return Answer(name, verdict, None, None, "", (told,), (tolerance.boron.source,))
