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
        (f"{TASK}after = [{{}}]", "task.paint.after.1: names neither or both of area and task; write one of the two"),
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
