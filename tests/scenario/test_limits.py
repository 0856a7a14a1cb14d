"""What is more than any field has had, or cannot be, is refused at once and by its key."""

import pytest
from scenario_texts import AREA, CREW, lines, written

TRUCK = '[[supply.trucks]]\ncount = {}\nhaul = "1 h"\nreturn = "1 h"\n'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (written("[forklifts]\ncount = 201"), "forklifts.count: 201 is out of range; write 200 or less"),
        (written(TRUCK.format(2001)), "supply.trucks.1.count: 2001 is out of range; write 2000 or less"),
        (written("[grading]\ngangs = 1000000"), "grading.gangs: 1000000 is out of range; write 200 or less"),
        (
            written('[[milestone]]\nname = "open"\nareas = ["strip"]\nclosing = "3650 day"'),
            'milestone.open.closing: "3650 day" is out of range; write "90 day" or less',
        ),
        (written(crew=CREW.replace("18", "2001")), "crew.red.people: 2001 is out of range; write 2000 or less"),
        (written(area=AREA + "".join(AREA.replace("strip", f"s{n}") for n in range(64))), "area: has 65; write at most 64"),
        (written(crew=CREW + "".join(CREW.replace("red", f"c{n}") for n in range(64))), "crew: has 65; write at most 64"),
        (written(TRUCK.format(1) * 65), "supply.trucks: has 65; write at most 64"),
    ],
)
def test_what_no_field_has_is_refused_by_its_key(text, said):
    assert said in lines(text)


def test_the_most_there_may_be_is_read():
    assert lines(written("[forklifts]\ncount = 200", TRUCK.format(2000) * 64)) == []
