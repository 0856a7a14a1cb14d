"""Where is every mat? Nothing appears or disappears, in no run, at no moment."""

from collections import defaultdict
from dataclasses import replace

from scenarios import strip
from small_runs import in_every_random_field, plan_of, random_run, run, steps

from simulation.construction import simulate
from simulation.construction.plan.steps import ACTOR, BECAUSE, EDGE, END, FEED, KIND, NUMBER, REPAIR, ROW, START
from simulation.construction.trace.balance import balances


def ends_of(done, share):
    """Return the plan of a run, given up after a share of the time that it takes."""
    plan = done.site.plan
    whole = max((step[END] for step in done.site.reached if step is not None), default=plan.horizon)
    return replace(plan, horizon=share * whole)


@in_every_random_field
def test_every_mat_that_was_supplied_lies_somewhere_at_the_end_and_at_any_moment_before(text):
    whole = random_run(text)
    share = (0.7, 0.3, 0.1, 0.01)[len(text) % 4]
    for done in (whole, simulate(ends_of(whole, share), 0)):
        for balance in balances(done):
            assert balance.accounted == balance.supplied, (balance, share)
            assert min(vars(balance).values()) >= 0, (balance, share)


@in_every_random_field
def test_every_row_is_laid_once_and_in_the_order_of_its_edge(text):
    done = random_run(text)
    laid = defaultdict(list)
    for step in done.site.trace:
        if step[KIND] == ROW:
            laid[step[EDGE]].append(step)
    for edge in done.site.edges:
        upto = [step[NUMBER] for step in laid[edge.index]]
        assert upto == sorted(set(upto))
        assert all(before[END] <= after[START] for before, after in zip(laid[edge.index], laid[edge.index][1:], strict=False))
        if edge.done.triggered:
            assert upto[-1] == edge.rows == edge.laid
    if all(edge.done.triggered for edge in done.site.edges):
        for balance, mats in zip(balances(done), ("full", "half"), strict=True):
            assert balance.laid == sum(sum(getattr(edge.plan, mats)) for edge in done.site.edges)


@in_every_random_field
def test_no_row_is_laid_before_its_mats_are_set_down_beside_it(text):
    done = random_run(text)
    if steps(done, "moving left-over mats"):
        return  # those moves are not of whole pallets; the balance watches them
    alike = done.stock.full, done.stock.half
    broken_off = {id(step[BECAUSE]) for step in done.site.trace if step[KIND] == REPAIR}
    trips = [step for step in done.site.trace if step[KIND] == FEED and id(step) not in broken_off]
    for row in (step for step in done.site.trace if step[KIND] == ROW):
        edge = done.site.edges[row[EDGE]]
        there = [trip for trip in trips if trip[EDGE] == edge.index and trip[END] <= row[START]]
        mats = [done.board.carried.get(id(trip), alike) for trip in there]
        assert sum(full for full, _ in mats) >= sum(edge.full[: row[NUMBER]])
        assert sum(half for _, half in mats) >= sum(edge.half[: row[NUMBER]])


def test_mats_found_damaged_are_laid_aside_and_as_many_more_are_taken():
    done = run(strip(laying={"damaged_mats": 0.1}, supply={"on_hand": 60}))
    full, half = balances(done)
    area = done.site.areas[0]
    assert (full.laid, half.laid) == (220, 40)  # 40 rows of 6 full, or of 5 full and 2 half mats
    assert full.rejected + half.rejected == sum(map(sum, area.luck.rejected.values())) > 5
    assert full.rejected + half.rejected == done.stock.rejected_full + done.stock.rejected_half


def test_a_pallet_stands_where_its_forklift_broke_down_and_is_on_nobodys_forks():
    plan = plan_of(strip(forklifts={"count": 1, "breakdown_every": "6 min", "repair": "10 h"}))
    done = simulate(replace(plan, horizon=2.0), 0)
    assert done.forklifts[0].carries == (0, 0)
    assert [carry.mats for carry in done.board.strays] == [(11, 2)]
    assert done.actors[done.site.trace[-1][ACTOR]].kind == "forklift"
    assert all(balance.accounted == balance.supplied for balance in balances(done))
