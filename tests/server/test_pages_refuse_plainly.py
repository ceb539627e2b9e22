"""Addresses that lead nowhere, and plans older than the catalogue."""

import pytest

import made_plan


@pytest.mark.parametrize("kind", ["pdf", "exe", "zip2"])
def test_a_holding_is_not_given_out_as_a_kind_of_file_that_is_not_written(client, made, kind):
    assert client.get(f"/at/{made.slug}/as.{kind}").status_code == 404
    assert client.get(f"/at/{made.slug}/as.zip").status_code == 200


def test_a_plan_with_a_crop_that_the_catalogue_lost_can_still_be_changed_by_hand(client, made):
    """The made plan has lettuce, under a key that the catalogue does not know."""
    carrot = next(one for one in made_plan.made_plan().plantings if one.crop == "carrot")
    address = f"/at/{made.slug}/plantings/act/{carrot.key}/"
    answer = client.post(address, {"act": "resize", "length_m": "1", "try": "yes"})
    assert answer.status_code == 200
    assert "Nothing is saved yet" in answer.content.decode()
