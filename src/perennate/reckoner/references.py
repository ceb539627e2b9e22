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
    "keller-karmeli-1974": "Keller and Karmeli 1974, Trans. ASAE 17:678 (emitter flow, emission "
    "uniformity); Christiansen 1942, California Agric. Exp. Stn. Bulletin 670",
    "pipe-flow": "Darcy and Weisbach with Hagen-Poiseuille, Blasius, and Swamee and Jain 1976, "
    "J. Hydraul. Div. ASCE 102:657; White 2003, Fluid Mechanics, chapter 6",
    "chill-hours": "Weinberger 1950, Proc. Am. Soc. Hort. Sci. 56:122",
    "chill-utah": "Richardson, Seeley and Walker 1974, HortScience 9:331",
    "chill-dynamic": "Fishman, Erez and Couvillon 1987, J. Theor. Biol. 124:473; Erez and others "
    "1990, Acta Hort. 276:165; constants as in Luedeling and others 2009, Agric. For. Meteorol. "
    "149:1854",
    "linvill-1990": "Linvill 1990, HortScience 25:14 (hours from daily extremes)",
    "sun-position": "Spencer 1971, Search 2(5):172; Kasten and Young 1989, Appl. Opt. 28:4735; "
    "Meinel and Meinel 1976, Applied Solar Energy (clear-day beam)",
    "raes-2009": "Raes, Steduto, Hsiao and Fereres 2009, Agronomy Journal 101:438-447 (drainage by "
    "conductivity, from memory)",
    "fao56-et0": "Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and "
    "Drainage Paper 56, chapters 2 to 4",
    "fao56-crop": "Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, "
    "chapters 6, 8 and 10",
    "hargreaves1985": "Hargreaves and Samani 1985, Applied Engineering in Agriculture 1(2):96",
    "suarez-1981": "Suarez 1981, Soil Sci. Soc. Am. J. 45:469 (calcium with lime at 0.0007 atm "
    "of CO2); Davies 1962; Griffin and Jurinak 1973, Soil Science 116:26 (activities)",
    "rhoades-1974": "Rhoades 1974, Drainage for salinity control, Agronomy 17:433, as in Ayers and "
    "Westcot 1985, FAO Irrigation and Drainage Paper 29 rev. 1",
    "cayanan-2009": "Cayanan and others 2009, HortScience (sprinkled chlorine, nursery shrubs)",
    "donovan-2015": "Donovan, Fisher and Huang 2015, Proc. Florida State Hort. Soc. 128 "
    "(sprinkled chlorine, basil, lettuce and bedding plants)",
    "bucks-nakayama-1980": "Bucks and Nakayama 1980, clogging of emitters (from memory)",
    "salinity-guide-2007": "WateReuse Foundation 2007, Salinity Management Guide",
    "farreny-2011": "Farreny and others 2011, Water Research 45:3245 (runoff of roofs)",
    "fewkes-butler-2000": "Fewkes and Butler 2000, Building Serv. Eng. Res. Technol. 21:99 (a tank "
    "by day, yield after spillage)",
    "ellis-roberts-1980": "Ellis and Roberts 1980, Annals of Botany 45:13 (life of seed in store); "
    "how far it is off: Solberg and others 2020, Frontiers in Plant Science 11:1007",
    "cromarty-1982": "Cromarty, Ellis and Roberts 1982, The Design of Seed Storage Facilities for "
    "Genetic Conservation, IBPGR (moisture of seed in air)",
    "probit-fit": "Finney 1971, Probit Analysis, 3rd edition (probit line by maximum likelihood)",
    "harrington-1972": "Harrington 1972, Seed storage and longevity, Seed Biology 3 (from memory)",
    "mass-balance": "Balance of mass: what dries away is water alone",
    "wilson-1927": "Wilson 1927, J. Am. Stat. Assoc. 22:209",
    "clopper-pearson-1934": "Clopper and Pearson 1934, Biometrika 26:404",
    "miles-1963": "Miles 1963, Proc. Int. Seed Test. Assoc. 28:525, as in US Code of Federal "
    "Regulations 7 part 201.55",
    "germination-speed": "AOSA 1983, Seed Vigor Testing Handbook; Ellis and Roberts 1980, in Seed "
    "Production, p. 605",
    "coolbear-1984": "Coolbear, Francis and Grierson 1984, J. Exp. Bot. 35:1609",
    "el-kassaby-2008": "El-Kassaby and others 2008, Forest Science 54:220",
    "wright-1931": "Wright 1931, Genetics 16:97 (effective size, heterozygosity; from memory)",
    "marshall-brown-1975": "Marshall and Brown 1975, Optimum sampling strategies in genetic "
    "conservation (alleles kept by a sample; from memory)",
    "crow-denniston-1988": "Crow and Denniston 1988, Evolution 42:482 (unequal families)",
    "foreign-pollen": "Share of seed with a foreign father from the odds of foreign pollen, plain "
    "algebra; foreign genes by season after Haldane 1930 (from memory)",
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
