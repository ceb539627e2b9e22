"""The same plan to the byte, whatever the machine is set to or doing."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
import small
from numpy._core._multiarray_umath import (  # type: ignore[attr-defined]
    __cpu_dispatch__,
    __cpu_features__,
)

from perennate.outputs.plan_json import plan_to_json

ONE = """
import sys
import small
from perennate.outputs.plan_json import plan_to_json
sys.stdout.buffer.write(plan_to_json(small.plan(effort="usual", seed=3)))
"""

FEATURES = " ".join(name for name in __cpu_dispatch__ if __cpu_features__.get(name))
"""Whatever this processor has beyond the least that NumPy was built for."""


def start(**environment: str) -> "subprocess.Popen[bytes]":
    settings = {**os.environ, "PYTHONPATH": str(Path(small.__file__).parent), **environment}
    return subprocess.Popen([sys.executable, "-c", ONE], stdout=subprocess.PIPE, env=settings)


def output(process: "subprocess.Popen[bytes]") -> bytes:
    written, _ = process.communicate(timeout=120)
    assert process.returncode == 0
    return written


@pytest.fixture(scope="module")
def here() -> bytes:
    return plan_to_json(small.plan(effort="usual", seed=3))


def test_twice_in_one_process(here) -> None:
    assert plan_to_json(small.plan(effort="usual", seed=3)) == here
    assert b'"plantings"' in here
    assert plan_to_json(small.plan(effort="usual", seed=4)) != here, "the seed is written down"


def test_hash_seed_time_zone_locale_and_threads(here) -> None:
    elsewhere = start(
        PYTHONHASHSEED="4711",
        TZ="Pacific/Kiritimati",
        LC_ALL="tr_TR.UTF-8",
        LANG="de_DE.UTF-8",
        PYTHONUTF8="0",
        OMP_NUM_THREADS="7",
        OPENBLAS_NUM_THREADS="7",
    )
    assert output(elsewhere) == here


def test_fewer_processor_features(here) -> None:
    """Another order of summing in NumPy and in its linear algebra, on one thread."""
    older = start(
        NPY_DISABLE_CPU_FEATURES=FEATURES,
        OPENBLAS_CORETYPE="Prescott",
        OMP_NUM_THREADS="1",
        OPENBLAS_NUM_THREADS="1",
        PYTHONHASHSEED="0",
    )
    assert output(older) == here


def test_two_busy_cores(here) -> None:
    spin = "while True: pass"
    busy = [subprocess.Popen([sys.executable, "-c", spin]) for _ in range(2)]
    try:
        assert plan_to_json(small.plan(effort="usual", seed=3)) == here
    finally:
        for process in busy:
            process.kill()
            process.wait()
