"""The published formulas that reckoners use, by key; figures of plants cite the catalogue's own."""

from collections.abc import Iterable

from perennate.catalogue.model import Catalogue

FORMULAS: dict[str, str] = {
    "geometry": "Plane geometry of equidistant points: 1/s2 plants per m2 in squares, "
    "2/(sqrt(3) s2) in offset rows; whole rows counted",
    "binomial": "Binomial law of independent survivals; Skellam 1948, J. R. Stat. Soc. B 10:257 "
    "for an uncertain rate; Fan 1991, Commun. Stat. Theory Methods 20:4043 for a chain of steps",
    "fao-who-unu-2004": "FAO/WHO/UNU 2004, Human energy requirements (expert consultation 2001); "
    "basal rates after Schofield 1985, Hum. Nutr. Clin. Nutr. 39C:5-41",
    "who-fao-unu-2007": "WHO/FAO/UNU 2007, Protein and amino acid requirements in human "
    "nutrition, WHO Technical Report Series 935",
    "fao-who-2001": "FAO/WHO 2001, Human vitamin and mineral requirements, appendix 1",
    "lognormal": "Aitchison and Brown 1957, The lognormal distribution; sum of lognormals after "
    "Fenton 1960, IRE Trans. Commun. Syst. 8:57",
    "shelf-life": "van Arsdel, Copley and Olson 1969, Quality and stability of frozen foods "
    "(additive use of shelf life)",
    "frost-dates": "Normal law of frost dates; United States National Centers for Environmental "
    "Information, freeze and frost probability tables, for years without frost",
    "degree-days": "McMaster and Wilhelm 1997, Agric. For. Meteorol. 87:291, table 1 (mean, "
    "floored); Zalom and others 1983, Degree-days, University of California leaflet 21373, and "
    "Baskerville and Emin 1969, Ecology 50:514 (single sine)",
    "memory": "Known to the authors, not seen in a source",
    "assumed": "Assumed for lack of anything better; replace by your own figure",
    "given": "Given by whoever asked",
}


def citations(keys: Iterable[str], catalogue: Catalogue) -> list[str]:
    """Full citations in order, each once; KeyError for a key that neither list has."""
    found: dict[str, None] = {}
    for joined in keys:
        for key in (part.strip() for part in joined.split(";")):
            source = catalogue.sources.get(key)
            found[source.citation if source is not None else FORMULAS[key]] = None
    return list(found)
