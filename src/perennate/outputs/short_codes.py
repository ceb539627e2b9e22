"""Short codes to write by hand beside a tick, and to type in later."""

import hashlib
from collections.abc import Iterable

_SIGNS = "ACDEFHJKMNPQRTUVWXY3479"
"""No sign that is read for another on muddy paper: 0 O, 1 I L, 2 Z, 5 S, 6 G, 8 B."""


def short_codes(keys: Iterable[str], length: int = 4) -> dict[str, str]:
    """A code for each key, made from the key alone and one sign longer where two would agree.

    A key keeps its code from plan to plan unless another key comes to agree with it.
    """
    codes: dict[str, str] = {}
    open_keys = sorted(set(keys))
    while open_keys:
        by_code: dict[str, list[str]] = {}
        for key in open_keys:
            by_code.setdefault(_code(key, length), []).append(key)
        codes.update({alike[0]: code for code, alike in by_code.items() if len(alike) == 1})
        open_keys = [key for alike in by_code.values() if len(alike) > 1 for key in alike]
        length += 1
    return codes


def _code(key: str, length: int) -> str:
    number = int.from_bytes(hashlib.sha256(key.encode("utf-8")).digest(), "big")
    signs = []
    for _ in range(length):
        number, place = divmod(number, len(_SIGNS))
        signs.append(_SIGNS[place])
    return "".join(signs)
