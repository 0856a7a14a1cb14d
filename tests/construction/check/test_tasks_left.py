"""What is warned of tasks that no milestone waits for."""

from scenarios import make_scenario, strip

from simulation.construction.check.tasks_left import crews_stopped, tasks_left


def test_tasks_that_no_milestone_waits_for_are_named_and_those_before_an_asked_one_are_not():
    tasks = [
        {"name": "survey", "each": "1 h"},
        {"name": "gear", "each": "1 h", "after": [{"task": "survey"}]},
        {"name": "paint", "each": "1 h"},
    ]
    asked = [{"name": "open", "areas": ["strip"], "tasks": ["gear"]}]
    said = [str(one) for one in tasks_left(make_scenario(strip(task=tasks, milestone=asked)))]
    assert said == [
        "task.paint: no milestone waits for paint, so a run may be over before; "
        "name it in the tasks of a milestone if it must be done by then"
    ]
    assert not list(tasks_left(make_scenario(strip(task=tasks[:2], milestone=asked))))
    everything = [str(one) for one in tasks_left(make_scenario(strip(task=tasks)))]
    assert everything[0].startswith("task: no milestone waits for survey, gear, paint, ")


def test_a_crew_that_stops_while_its_people_are_at_a_task_is_named():
    crew = [{"name": "red", "people": 16, "areas": ["strip"]}]
    task = [{"name": "paint", "each": "1 h", "gang": "from crew red", "people": 12}]
    assert [str(one) for one in crews_stopped(make_scenario(strip(crew=crew, task=task)))] == [
        "task.paint.people: leave crew red with 4, fewer than the 6 who lay a mat: it stops; "
        "write fewer, or give the task a gang, if it must not"
    ]
    task[0]["people"] = 9
    assert not list(crews_stopped(make_scenario(strip(crew=crew, task=task))))
