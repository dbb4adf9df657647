"""Speed of the survey, by hand: `python benchmarks/bench_survey.py`. Ratios in one run show the growth.

The matrices are small (200 unknowns); a linear-algebra library that spreads them over threads is slower, several times
so on a busy machine, so one thread is asked for before it is loaded. Times are of the processor (one thread), which
other work on the machine disturbs less than the clock.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import itertools
import math
import sys
import time
from pathlib import Path

import numpy as np

from platemaker.records import replace

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from platemaker.fit_up import Fastener, FitUp, PatternSide, fit_up
from platemaker.survey import Datum, Feature, FeatureKind, Network, Pattern, Reading, ReadingKind, solve
from tests.survey_simulation import BLUNDERS, casting, said_of

MISREAD = "1 to 5 mm misread"


def network(features, readings, seed=1):
    rng = np.random.default_rng(seed)
    places = rng.uniform(0, 600, (features, 2))
    names = [f"H{i:03d}" for i in range(features)]
    pairs = {(int(a), b) for b in range(1, features) for a in rng.choice(b, min(b, 3), replace=False)}
    rest = list(itertools.combinations(range(features), 2))
    rng.shuffle(rest)
    for a, b in rest:
        if len(pairs) >= readings:
            break
        pairs.add((a, b))
    read = [
        Reading(
            i, ReadingKind.INSIDE, (names[a], names[b]), math.dist(places[a], places[b]) - 8 + rng.normal(0, 0.05), 0.05
        )
        for i, (a, b) in enumerate(sorted(pairs), start=1)
    ]
    arms = places - places[0]
    heights = arms[1, 0] * arms[:, 1] - arms[1, 1] * arms[:, 0]
    far = int(np.argmax(np.abs(heights)))
    side = {"left" if heights[far] > 0 else "right": (names[far],)}
    return Network(
        tuple(Feature(name, FeatureKind.HOLE, 8.0, 0.03) for name in names),
        tuple(read),
        Datum(names[0], names[1], **side),
    )


def joint(bolts, zone=0.5):
    places = tuple(map(tuple, np.random.default_rng(0).uniform(-150, 150, (bolts, 2))))
    pattern = Pattern(tuple(f"b{i}" for i in range(bolts)), places)
    return FitUp(
        PatternSide(pattern, zone),
        PatternSide(pattern, zone),
        tuple(Fastener(name, 8.0, 8.8) for name in pattern.names),
    )


def best_of(work, times=7):
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken), sorted(taken)[len(taken) // 2]


def main():
    print("solve: features readings  best      middle    ratio to the row before")
    before = None
    for features, readings in ((10, 50), (20, 100), (40, 200), (80, 400)):
        question = network(features, readings)
        solve(question)
        best, middle = best_of(lambda question=question: solve(question))
        print(
            f"{features:15d} {readings:8d}  {best * 1e3:6.1f} ms {middle * 1e3:6.1f} ms  {best / (before or best):.1f}"
        )
        before = best
    print("40 features, 230 readings of all kinds, 6 castings: most and middle seconds; in the sound ones, then with a")
    for kind, times in (("sound", 0), *((kind, 1) for kind in BLUNDERS), (MISREAD, 3), (MISREAD, 10)):
        taken = []
        for seed in range(6):
            one, rng = casting(900 + seed, 40, 5), np.random.default_rng(seed)
            question = one.network
            for _ in range(times):
                question = BLUNDERS[kind](replace(one, network=question), rng)[0]
            start = time.process_time()
            said_of(one, question)
            taken.append(time.process_time() - start)
        print(f"{f'{times} times ' * (times > 1) + kind:>40} {max(taken):6.2f} {sorted(taken)[3]:6.2f}")
    print("whole fit-up (chance, both smallest holes, advice): bolts samples  best")
    for bolts, samples in ((5, 20_000), (20, 20_000), (20, 100_000)):
        best, _ = best_of(lambda b=bolts, s=samples: fit_up(joint(b), s), 3)
        print(f"{bolts:52d} {samples:7d}  {best:.2f} s")


if __name__ == "__main__":
    main()
