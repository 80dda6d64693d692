"""How long the mount search takes, beside differential evolution on the same problem.

A rear hatch with polygon zones of 180 x 700 and 60 x 370 mm, a stock derived from labels with
friction differing by rating, one strut or a pair, eight conditions, nitrogen for each strut; the
best proved to 0.1 %, every other strut and count that fits to 5 %, all on whole millimetres. Aims
on one core: 100 struts in 0.6 s, 300 in 1.5 s, "nothing fits" in 0.3 s. Differential evolution is
told which strut and count are best, has its objective vectorised, and proves nothing.
"""

import time

import pytest

from strutkit.decide.search.answers import MountSearch, find_mounts
from tests.benchmarks.search_stock import hatch, stock
from tests.search.plain_search import Flat

SMALL = 20
"""Struts where the benchmarks only have to run."""


def timed(**asked: object) -> tuple[MountSearch, float]:
    """A search, and the processor time it took [s]."""
    start = time.process_time()
    found = find_mounts(**asked)
    return found, time.process_time() - start


@pytest.mark.benchmark(group="mount search")
@pytest.mark.parametrize("count", [100, 300])
def test_best_of_a_stock(benchmark, count: int) -> None:
    struts = stock(count if benchmark.enabled else SMALL)
    found, seconds = benchmark.pedantic(
        timed, kwargs={"door": hatch(), "stock": struts}, rounds=2, warmup_rounds=1
    )
    assert found.proved
    assert found.candidates
    print(
        f"\n{len(struts)} struts: {seconds:.2f} s of processor time, {len(found.candidates)}"
        f" choices fit, {found.boxes} boxes, best {found.value:.2f} N, bound {found.bound:.2f} N"
    )


@pytest.mark.benchmark(group="mount search")
def test_nothing_fits(benchmark) -> None:
    struts = stock(100 if benchmark.enabled else SMALL)
    door = hatch(hand_closing=60.0)
    found, seconds = benchmark.pedantic(timed, kwargs={"door": door, "stock": struts}, rounds=2)
    assert found.proved
    assert not found.candidates
    print(f"\nnothing fits: {seconds:.2f} s with every nearest miss. {found.words}")


@pytest.mark.benchmark(group="mount search")
def test_beside_differential_evolution(benchmark) -> None:
    """The optimiser gets the best strut and count for nothing, and five tries."""
    struts = stock(100 if benchmark.enabled else SMALL)
    found, seconds = timed(door=hatch(), stock=struts)
    leader = found.candidates[0]
    flat = Flat(hatch(), leader.strut, leader.count, "hand_force")

    def tries() -> list[tuple[float, float]]:
        taken = []
        for seed in range(5 if benchmark.enabled else 1):
            start = time.process_time()
            taken.append((flat.best_by_evolution(seed), time.process_time() - start))
        return taken

    best = benchmark.pedantic(tries, rounds=1)
    right = sum(cost <= found.value * 1.001 for cost, _ in best)
    print(
        f"\nsearch of {len(struts)} struts {seconds:.2f} s, proved; differential evolution on the"
        f" best strut alone {sum(taken for _, taken in best) / len(best):.2f} s a try, {right} of"
        f" {len(best)} tries within 0.1 %, no proof"
    )
    assert min(cost for cost, _ in best) > found.bound
