"""How fast the water is balanced and planned; many at once against one by one in the same run.

Times are printed; they are held to the goals only with TUBCARE_BENCH=1.
"""

from __future__ import annotations

import random
from functools import partial

from tests.support.bench import FULL, best_ms
from tests.water.waters import SHELF, SOFT_FILL, a_request, a_test
from tubcare.water.balance import balance
from tubcare.water.many import balance_many, columns_of
from tubcare.water.measures import Measure
from tubcare.water.plan import plan
from tubcare.water.reading import WaterTest

READINGS = 10_000 if FULL else 500
ROUNDS = 20 if FULL else 3


def random_tests(count: int) -> list[WaterTest]:
    draw = random.Random(7)
    return [
        WaterTest(
            water_c=draw.uniform(0, 25),
            ph=draw.uniform(6.6, 8.6),
            alkalinity_mg_l=draw.uniform(60, 200),
            calcium_mg_l=draw.uniform(20, 400),
            tds_mg_l=draw.uniform(100, 2000),
            free_chlorine_mg_l=draw.uniform(0, 5),
            cyanuric_acid_mg_l=draw.choice([0.0, 20.0]),
        )
        for _ in range(count)
    ]


def test_one_reading_balances_within_100_microseconds() -> None:
    test = a_test(cyanuric_acid_mg_l=20.0)
    took_ms = best_ms(lambda: [balance(test) for _ in range(100)], ROUNDS) / 100
    print(f"\none balance: {took_ms * 1e3:.0f} µs")  # noqa: T201  the benchmark's result
    assert not FULL or took_ms < 0.1


def test_a_plan_over_six_products_within_20_milliseconds() -> None:
    request = a_request(a_test(ph=8.3, alkalinity_mg_l=110, calcium_mg_l=10), fill=SOFT_FILL)
    assert len(SHELF) == 6
    took_ms = best_ms(lambda: plan(request), ROUNDS)
    print(f"\nplan, 6 products: {took_ms:.1f} ms")  # noqa: T201  the benchmark's result
    assert not FULL or took_ms < 20


def test_the_slowest_of_many_plans_stays_within_20_milliseconds_too() -> None:
    """Random waters out of range, with scoops, fill water and the month ahead."""
    scoop = Measure(name="scoop", capacity_ml=5.0)
    draw = random.Random(11)
    waters = [
        a_test(
            water_c=draw.uniform(0, 14),
            ph=draw.uniform(6.5, 8.8),
            alkalinity_mg_l=draw.uniform(10, 250),
            calcium_mg_l=draw.uniform(5, 300),
            free_chlorine_mg_l=draw.uniform(0, 4),
        )
        for _ in range(60 if FULL else 5)
    ]
    requests = [a_request(test, fill=SOFT_FILL, measures=(scoop,)) for test in waters]
    slowest_ms = max(best_ms(partial(plan, request), 5) for request in requests)
    print(  # noqa: T201  the benchmark's result
        f"\nslowest of {len(requests)} plans: {slowest_ms:.1f} ms"
    )
    assert not FULL or slowest_ms < 20


def test_many_readings_at_once_against_one_by_one() -> None:
    tests = random_tests(READINGS)
    columns = columns_of(tests)
    together_ms = best_ms(lambda: balance_many(columns), ROUNDS)
    from_tests_ms = best_ms(lambda: balance_many(columns_of(tests)), ROUNDS)
    singly_ms = best_ms(lambda: [balance(test) for test in tests], 3)
    print(  # noqa: T201  the benchmark's result
        f"\n{READINGS} readings at once: {together_ms:.1f} ms, with the columns made first "
        f"{from_tests_ms:.1f} ms; one by one: {singly_ms:.0f} ms; "
        f"ratio {singly_ms / together_ms:.0f} and {singly_ms / from_tests_ms:.0f}"
    )
    assert not FULL or from_tests_ms < 60
