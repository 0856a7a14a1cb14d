"""What is warned of ships that take pallets away: room that nothing fills, and a ship that may never come."""

from scenarios import SHORT, parse_scenario

from simulation.construction.check.warnings import find_warnings
from simulation.field.coming_back import count_coming_back
from simulation.scenario.reading.every_default import every_default

TRUCKS = '[[supply.trucks]]\ncount = 1\nhaul = "1 h"\nreturn = "1 h"\n'
SHIP = '[[take_up.shipments]]\nname = "barge"\npallets = {}\ncomes = "8 h"\n{}'


def said_of(pallets, more="", trucks=TRUCKS, job="take up"):
    scenario = parse_scenario(f'job = "{job}"\n{SHORT}{trucks}{SHIP.format(pallets, more)}')
    return [str(one) for one in find_warnings(scenario) if one.key.startswith("take_up.shipments")]


def test_more_room_on_ships_than_pallets_come_back_is_named():
    back = count_coming_back(parse_scenario(f'job = "take up"\n{SHORT}')).pallets
    assert said_of(3000) == [
        f"take_up.shipments: 3,000 pallets find room on the ships, and {back} or a few more come back; "
        "write fewer; trucks and flights take none of what is kept for ships"
    ]
    assert said_of(back) == []
    assert said_of(3000, job="lay") == []


def test_a_ship_that_may_never_come_is_named_and_none_that_comes_later_or_whose_pallets_trucks_take():
    back = count_coming_back(parse_scenario(f'job = "take up"\n{SHORT}')).pallets
    (said,) = said_of(back, "chance = 0.8\n", "")
    assert said == (
        f"take_up.shipments.1.chance: never comes with a chance of 20 %, and nothing else then takes its {back} pallets; "
        "write again, how much later it may come, or leave it if it is meant"
    )
    assert said_of(back, 'chance = 0.8\nagain = "2 day"\n', "") == said_of(back, "chance = 0.8\n", TRUCKS) == []


def test_what_is_said_of_a_ship_is_not_said_of_laying():
    ships = every_default().partition("# [[take_up.shipments]]")[2].partition("# [[")[0]
    assert "takes pallets away" in ships
    assert not [word for word in ("task", "airdrop", "brought off", "ordered again", "unloads") if word in ships]
