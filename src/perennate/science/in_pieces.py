"""Long arrays worked in pieces that stay in the processor's cache, on as many cores as there are.

NumPy lets other threads run while it reckons, so plain threads are enough. A piece writes only its
own part of a result; results do not depend on the number of cores.
"""

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

PIECE = 16384
"""Numbers in a piece: 128 KiB of float64, of which a dozen fit a second-level cache."""


def cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return max(len(os.sched_getaffinity(0)), 1)
    return os.cpu_count() or 1


def each_piece(size: int, work: Callable[[slice], None], piece: int = PIECE) -> None:
    """Call `work` with every slice of a row of `size` numbers, in no promised order.

    The first error that a piece raises is raised here.
    """
    parts = [slice(start, min(start + piece, size)) for start in range(0, size, piece)]
    workers = min(cores(), len(parts))
    if workers <= 1:
        for part in parts:
            work(part)
        return
    with ThreadPoolExecutor(workers) as pool:
        for _ in pool.map(work, parts):
            pass
