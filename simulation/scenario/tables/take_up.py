"""How is a field taken up again: where it is opened, by whom, and what becomes of each mat?"""

from typing import Annotated, Literal

from pydantic import Field, StrictBool

from simulation.scenario.tables.supply import Shipment
from simulation.scenario.types.section import (
    MOST_BLOCKS,
    MOST_PEOPLE,
    BetweenLandings,
    Count,
    Extent,
    Name,
    Section,
    at_most,
    planned,
    written,
)
from simulation.scenario.types.uncertainty.uncertain import UncertainDuration, UncertainShare
from simulation.scenario.types.usual_range import Usual

#: Points at which a field is opened at once: each has a crew of its own.
MOST_POINTS = 50
#: Of a crew's people those who clean, inspect, sort, stack and band; the rest lift. Planning value: seven of seventeen, set so
#: that the take-up of service news 2011 lies inside P10 to P90; see configs/hindcasts.
HANDLERS = 0.4


class TakeUpMilestone(Section):
    """Areas that have come so far on their way out."""

    name: Name
    """What it is called."""
    areas: Annotated[tuple[Name, ...], at_most(MOST_BLOCKS)] = ()
    """The areas. Default: all that are taken up."""
    when: Literal["up", "in yard", "away"] = "in yard"
    """When their last row is up, their last pallet stands in the yard, or their last pallet leaves it (planning value)."""
    ready: StrictBool = False
    """Whether this is the one that answers count to; with a single one it is."""


class Ship(Shipment):
    """A ship or a barge that takes pallets away, on a date of its own, lot by lot: a shipment of laying the other way round."""

    name: Name | None = None
    """What it is called. Default: none."""
    pallets: Annotated[Count, Usual("count", 1, 10_000)]
    """Pallets that find room on it. They are kept for it: trucks and flights take the others."""
    comes: Annotated[UncertainDuration, Usual("duration", "1 h", "365 day")]
    """From the start until its first pallets can be brought on board."""
    again: BetweenLandings | None = None
    """If it does not come, it may so much later, with the same chance, and so on. Default: it never does, and trucks and flights
    take what was kept for it, or nobody where there are none."""
    discharge: Annotated[UncertainDuration, Usual("duration", "10 s", "2 h")] = planned(p10="3 min", p90="8 min", scatter=0.3)
    """Bringing one pallet on board, that a forklift has put on, on the port's shift. Planning value."""
    lot: Annotated[Count, Usual("count", 1, 100)] = 12
    """Pallets that go on board together. Planning value."""


class TakeUp(Section):
    """The work of taking the field up. How rows come off and key strips are drawn stands in [repair]: `take_up`, `along`,
    `draw_out`, `stuck`, `free`; crews, forklifts, trucks, flights, the daily limit and shifts are those of laying, the other way
    round.
    """

    areas: Annotated[tuple[Name, ...], at_most(MOST_BLOCKS)] = ()
    """The areas, in the order in which they are taken up; those left out stay. Default: all, the one that is written last first,
    so that an area that joins another goes before it (planning value)."""
    points: Annotated[Annotated[Count, Field(le=MOST_POINTS)] | None, Usual("count", 1, 12)] = None
    """Key strips at which the field is open at the same time, at most; a crew more waits for one of them. Default: one for each
    crew, as far as there are key strips (planning value; NAVEDTRA 14251 ch. 11: at several at once)."""
    direction: Literal["against", "along"] = "against"
    """Whether rows come off against the direction of assembly, which is markedly faster (NAVEDTRA 14251 ch. 11), or along it."""
    handlers: Annotated[Annotated[Count, Field(le=MOST_PEOPLE)] | None, Usual("count", 1, 40)] = None
    """People of each crew who clean, inspect, sort, stack and band; the rest lift. Default: two in five (planning value)."""
    clean: Annotated[UncertainDuration, Usual("duration", "2 s", "15 min")] = planned(p10="10 s", p90="45 s", scatter=0.5)
    """Cleaning the joints and the face of one mat, one handler. Planning value, set with `handlers` and `stack` so that the
    take-up of service news 2011 lies inside P10 to P90; see configs/hindcasts."""
    inspect: Annotated[UncertainDuration, Usual("duration", "2 s", "5 min")] = planned(mean="10 s")
    """Inspecting and marking one mat. Planning value."""
    stack: Annotated[UncertainDuration, Usual("duration", "5 s", "10 min")] = planned(p10="20 s", p90="60 s", scatter=0.3)
    """Carrying one mat to its pallet and stacking it, for all who carry it together. Planning value."""
    band: Annotated[UncertainDuration, Usual("duration", "30 s", "1 h")] = planned(p10="6 min", p90="15 min", scatter=0.3)
    """Dunnage and banding of one pallet, one handler. Planning value."""
    carry: Annotated[Extent, Usual("length", "5 ft", "500 ft")] = written("0 ft")
    """Way from a mat to its pallet, walked there and back by a team of laying for each mat. Default: none, since pallets
    stand where they were set down for laying (planning value)."""
    bent: Annotated[UncertainShare, Usual("share", 0.001, 0.4)] = planned(low=0.0, mode=0.01, high=0.03)
    """Share of mats whose bent edges are put right with the edge tool before they are stacked. Planning value."""
    edge_tool: Annotated[UncertainDuration, Usual("duration", "20 s", "30 min")] = planned(p10="2 min", p90="6 min", scatter=0.3)
    """Putting the edges of one of them right, one handler. Planning value."""
    sticking: Annotated[UncertainShare, Usual("share", 0.001, 0.5)] = planned(low=0.0, mode=0.01, high=0.05)
    """Share of rows that corrosion or dirt in the joints holds. Planning value."""
    free_row: Annotated[UncertainDuration, Usual("duration", "30 s", "1 h")] = planned(p10="3 min", p90="10 min", scatter=0.3)
    """Working one of them loose before it is lifted. Planning value."""
    tie_down: Annotated[UncertainDuration, Usual("duration", "20 s", "1 h")] = planned(p10="3 min", p90="8 min", scatter=0.3)
    """Taking one tie-down point of a stand off with its anchor, by a team of laying; before the first row of its area, by as
    many teams as those of a crew make who lift. Planning value."""
    end_connector: Annotated[UncertainDuration, Usual("duration", "10 s", "30 min")] = planned(
        p10="1 min", p90="4 min", scatter=0.3
    )
    """Taking one end connector off, by a team of laying; before the rows of its end, by as many teams as those of a crew make who
    lift. Connectors of a junction take the time of `laying.connect` together. Planning value."""
    to_repair: Annotated[UncertainShare, Usual("share", 0.001, 0.4)] = planned(low=0.005, mode=0.03, high=0.10)
    """Share of mats that come up to be repaired: bent edges, worn face. Planning value."""
    scrap: Annotated[UncertainShare, Usual("share", 0.0005, 0.3)] = planned(low=0.0, mode=0.01, high=0.03)
    """Share that comes up as scrap. Around the 72 bad mats found in 146,000 sq ft (1.2 %) of service news 2014."""
    loose: Annotated[Count, Usual("count", 5, 500)] = 60
    """Mats that may lie beside a crew before it waits for its handlers. Planning value."""
    dig_out: Annotated[UncertainDuration, Usual("duration", "10 min", "72 h")] = planned(p10="3 h", p90="7 h")
    """Digging the backfill of one end ramp out, by the grading gangs while the middle goes. Planning value, as its trench."""
    rail_section: Annotated[UncertainDuration, Usual("duration", "30 s", "1 h")] = planned(mean="4 min")
    """Taking one section of guide rail up, behind the rows that hooked into it. Planning value."""
    seal: Annotated[UncertainDuration, Usual("duration", "2 s", "20 min")] = planned(p10="15 s", p90="1 min", scatter=0.3)
    """Taking the seal between two sections of guide rail off, before they come up. Planning value."""
    load_one: Annotated[UncertainDuration, Usual("duration", "30 s", "30 min")] = written("3 min")
    """A forklift's time to put one pallet of the yard on a truck or aircraft. Planning value."""
    shipments: Annotated[tuple[Ship, ...], at_most(MOST_BLOCKS)] = ()
    """Ships and barges that take pallets away, each a block as in [[supply.shipments]], the other way round: it comes and takes
    as many `pallets` on board, lot by lot, a forklift putting each on and `discharge` bringing it there; it waits for them, and
    sails when they are on board or nothing is left. They are kept for it: trucks and flights take the others. Default: none."""
    milestone: Annotated[tuple[TakeUpMilestone, ...], at_most(MOST_BLOCKS)] = ()
    """What is forecast where the job is to take up. Default: the last row up, the last pallet in the yard and, where something
    brings them away, the last load out, which is the one that answers count to."""

    def handlers_of(self, people: int) -> int:
        """Return how many of a crew of so many people do not lift."""
        return self.handlers or max(1, round(HANDLERS * people))
