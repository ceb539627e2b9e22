"""A small holding in a folder, the catalogue's names, and reading the one with the other."""

from collections.abc import Callable
from pathlib import Path

import pytest
from catalogue_names import find, portion, suggest

from perennate.holding import read_holding, read_workbook
from perennate.holding.model import Holding

SMALL = {
    "holding.toml": """[plan]
as_of = 2026-02-16

[site]
name = "Nook"
latitude_deg = 47.1
elevation_m = 300

[food]
eats = ["carrot", "kale"]
""",
    "beds.csv": "key,length_m,width_m,light,x_m\nA,6,1.2,full sun,0\nB,4.5,1.2,half shade,1.7\n",
    "water_sources.csv": "key,kind,tank_l,ec_ds_m\ntap,mains,,0.4\n",
    "aims.csv": (
        "key,kind,crop,amount,unit,per,start,end,priority\n"
        "roots,food,carrot,2,kg,week,2026-07-01,2026-10-31,1\n"
    ),
    "lots.csv": (
        "key,crop,variety,kind,amount,unit,germination,parents,treated\n"
        "C1,carrot,Sandry Long,seed,5,g,0.8,,false\n"
    ),
    "lot_moves.csv": "lot,day,change,unit,why\nC1,2026-01-10,-2000,mg,sown\n",
    "trees.csv": "key,species,rootstock,planted\ngate,Malus domestica,,2021-11-20\n",
    "limbs.csv": "key,tree,variety,grafted\nlow,gate,Rusk Maiden,2022-04-01\n",
    "plantings.csv": (
        "key,hand,crop,bed,sown,ground_from,ground_to,start_m,length_m,plants,lot\n"
        "k,stands,kale,A,2025-05-20,2025-07-02,2026-04-20,0,3,8,\n"
    ),
    "records.csv": (
        "key,day,kind,crop,place,amount,unit,minutes\nr,2026-02-01,harvested,kale,A,0.8,kg,12\n"
    ),
    "own_values.csv": "crop,figure,value,low,high,unit\nkale,yield,1.4,1,2,kg/m2\n",
}

Read = Callable[[Path], Holding]
Make = Callable[..., Path]


@pytest.fixture(scope="session")
def read() -> Read:
    """Reads a folder or workbook with the names of the catalogue."""

    def read_either(path: Path) -> Holding:
        if path.suffix == ".xlsx":
            return read_workbook(path, find, suggest, portion)
        return read_holding(path, find, suggest, portion)

    return read_either


@pytest.fixture
def small(tmp_path: Path) -> Make:
    """Makes the small holding, some files of it replaced (None: left out)."""

    def make(changes: dict[str, str | bytes | None] | None = None) -> Path:
        folder = tmp_path / "nook"
        folder.mkdir()
        for name, text in {**SMALL, **(changes or {})}.items():
            if text is not None:
                data = text if isinstance(text, bytes) else text.encode()
                (folder / name).write_bytes(data)
        return folder

    return make
