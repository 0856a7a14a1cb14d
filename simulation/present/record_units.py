"""In which units are the numbers of a record? Always these, whatever its words are told in.

A key that names its unit has that one.
"""

from __future__ import annotations

#: Of a take-off, whose keys name none.
TAKE_OFF_UNITS = {
    "length": "ft",
    "area": "sq ft",
    "volume": "cu yd",
    "mass": "lb",
    "distance": "mile",
    "angle": "degree",
    "time": "hour",
}
#: Of what runs come to. Keys that hold values with an interval, such as p80_change_days, name the unit of all of them.
ANSWER_UNITS = {
    "days": "24 hours; a moment counts from the start",
    "workdays": "a day of the shifts",
    "person_days": "8 hours of one person",
    "hours": "hour",
    "square_feet": "sq ft",
    "chance, probability, share, on_time, use": "of 1",
    "mats, pallets, people, runs": "count",
}
#: Of weather fitted to a record.
WEATHER_UNITS = {
    "length, filled": "in steps of the record, see unit",
    "rain": "mm, of a wet hour",
    "wind, gust": "mph; gust as a multiple of it",
    "temperature": "degC",
    "humidity": "%",
    "chain": "chance of each hour",
    "share": "of 1",
}
