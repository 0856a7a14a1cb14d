"""Small scenarios as a planner writes them, and what the program says of them."""

from pathlib import Path

from simulation.scenario import ScenarioError, parse_scenario

AREA = '[[area]]\nname = "strip"\nlength = "300 ft"\nwidth = "72 ft"\n'
CREW = '[[crew]]\nname = "red"\npeople = 18\nareas = ["strip"]\n'
SUPPLY = "[supply]\non_hand = 80\n"


def written(*more, top="", area=AREA, crew=CREW, supply=SUPPLY):
    """A sound scenario, with lines `more` at its end and `top` above its first table."""
    return "\n".join([top, area, crew, supply, *more])


def lines(text, folder: Path | None = None):
    """Every line that is said of a scenario, without the file's name; none where it is sound."""
    try:
        parse_scenario(text, folder=folder)
    except ScenarioError as error:
        assert all("\n" not in str(mistake) for mistake in error.mistakes)
        return [str(mistake) for mistake in error.mistakes]
    return []


def line(text, folder: Path | None = None):
    """The only line that is said of a scenario."""
    said = lines(text, folder)
    assert len(said) == 1, said
    return said[0]


def keys(text):
    """The addresses of the mistakes in a scenario, in the order in which they are said."""
    return [said.split(": ")[0] for said in lines(text)]
