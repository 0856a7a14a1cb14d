"""What is said of tasks that can never be done."""

import pytest
from scenarios import lines, sound

TASK = '[[task]]\nname = "paint"\neach = "2 h"\n'
GANG = '[[gang]]\nname = "riggers"\npeople = 2\n'


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            f'{TASK}after = [{{ task = "dry" }}]\n[[task]]\nname = "dry"\neach = "1 h"\nafter = [{{ task = "paint" }}]',
            "task.paint.after: these tasks wait for each other, so none would begin: paint, dry, paint; "
            "leave one of these needs out",
        ),
        (
            f'{TASK}after = [{{ task = "paint" }}]',
            "task.paint.after.1.task: is the task itself, so it would never begin; leave it out",
        ),
        (f'{TASK}after = [{{ task = "dry" }}]', 'task.paint.after.1.task: there is no task "dry"; use one of: paint'),
        (f'{TASK}after = [{{ area = "strp" }}]', 'task.paint.after.1.area: there is no area "strp"; did you mean strip?'),
        (
            f"{TASK}after = [{{}}]",
            "task.paint.after.1: names none of area, task, load, shipment and date; write one of them, and each need by itself",
        ),
        (
            f'{TASK}after = [{{ area = "strip", row = 151 }}]',
            "task.paint.after.1.row: strip has 150 rows, so row 151 is never laid; write 1 to 150",
        ),
        (
            f'{TASK}after = [{{ area = "strip", to = "400 ft" }}]',
            "task.paint.after.1: 0 to 400 ft is no stretch of strip, so it is never laid; write from and to, rising, within "
            '"0 ft" and "300 ft"',
        ),
        (
            f'{TASK}gang = "riggers"',
            'task.paint.gang: there is no gang "riggers", so nobody would do it; add [[gang]] with name = '
            '"riggers" and its people',
        ),
        (
            f'{GANG}{TASK}gang = "riggers"\nteam = 3',
            "task.paint.team: 3 work at one piece, and gang riggers has 2, so nobody could do it; write at most 2, "
            "or a larger gang",
        ),
        (
            f"{TASK}people = 2\nteam = 3",
            "task.paint.people: 2 are fewer than the 3 who work at one piece, so nobody could do it; write at least 3",
        ),
        (
            f'{TASK}gang = "from crew rad"',
            'task.paint.gang: there is no crew "rad", so nobody would do it; did you mean from crew red?',
        ),
        (
            f'{TASK}gang = "from crew red"\npeople = 19',
            "task.paint.people: crew red has 18, so nobody could do it; write at most 18",
        ),
        (
            f'{TASK}gang = "from crew red"\npeople = 2\nteam = 3',
            "task.paint.people: 2 are fewer than the 3 who work at one piece, so nobody could do it; write at least 3",
        ),
        (
            f'[[gang]]\nname = "from crew red"\npeople = 2\n{TASK}gang = "from crew red"',
            'gang.from crew red.name: "from crew red" means people of a crew; give the gang another name',
        ),
        (
            f'{TASK}after = [{{ task = "paint", load = 2 }}]',
            "task.paint.after.1: names more than one of area, task, load, shipment and date; "
            "write one of them, and each need by itself",
        ),
        (
            f"{TASK}after = [{{ load = 2, row = 3 }}]",
            "task.paint.after.1: names part of an area, and no area; leave out from, to and row",
        ),
        (f'{TASK}area = "strp"', 'task.paint.area: there is no area "strp"; did you mean strip?'),
        (
            f'{TASK}after = [{{ date = "Monday" }}]',
            'task.paint.after.1.date: "Monday" is not a local date and time; write 2031-04-02T06:00:00, no quotes, no zone',
        ),
        (f"{GANG}{TASK}", 'gang.riggers: no task is done by this gang; write gang = "riggers" in a task, or leave the gang out'),
        (
            f'{TASK}[[milestone]]\nname = "open"\ntasks = ["pain"]',
            'milestone.open.tasks: there is no task "pain"; did you mean paint?',
        ),
        (
            '[[milestone]]\nname = "open"\nusable = { area = "strip", length = "301 ft" }',
            'milestone.open.usable.length: 301 ft is more than strip is long, 300 ft; write at most "300 ft"',
        ),
    ],
)
def test_a_task_that_can_never_be_done_is_refused_with_key_and_reason(more, said):
    assert lines(sound(more)) == [said]


def test_a_gang_of_nobody_is_refused():
    assert lines(sound(f'{GANG.replace("2", "0")}{TASK}gang = "riggers"')) == [
        "gang.riggers.people: 0 is out of range; write 1 or more"
    ]
