"""Codes to write by hand."""

from hypothesis import given
from hypothesis import strategies as st

from perennate.outputs.short_codes import short_codes


@given(st.sets(st.text(min_size=1), max_size=200))
def test_every_key_has_its_own_code_without_signs_that_are_misread(keys: set[str]) -> None:
    codes = short_codes(keys)
    assert set(codes) == keys
    assert len(set(codes.values())) == len(keys)
    assert not set("".join(codes.values())) & set("0O1IL2Z5S6G8B")


def test_a_code_depends_on_its_own_key_alone() -> None:
    many = short_codes(f"job {number}" for number in range(300))
    assert short_codes(["job 7"])["job 7"] == many["job 7"]


def test_codes_that_agree_grow_by_a_sign() -> None:
    codes = short_codes((f"job {number}" for number in range(200)), length=1)
    assert {len(code) for code in codes.values()} <= {2, 3, 4}
    assert len(set(codes.values())) == 200
