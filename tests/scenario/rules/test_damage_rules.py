"""Damage is said of an area that is there, and its two touchdown zones have room on it."""

import pytest
from scenarios import lines, sound


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        ('area = "stripp"', 'damage.area: there is no area "stripp"; did you mean strip?'),
        ('touchdown = "151 ft"', 'damage.touchdown: two zones of 151 ft do not fit on 300 ft of strip; write "150 ft" or less'),
        ('touchdown = "150 ft"', ""),
    ],
)
def test_damage_is_of_the_field(damage, said):
    found = [line for line in lines(sound("[damage]", damage)) if "damage" in line]
    assert found == ([said] if said else [])
