#!/usr/bin/env python3
"""Invented recipes, the same for the same seed: parts of lines and recipes as Parquet, each with whole recipes in order.

Usage: generate.py PREPARED.parquet OUT [--recipes N] [--parts N] [--seed N] [--spoilt SHARE]
PREPARED.parquet is what `trayful bulk --export` writes: ten lines a recipe on average, foods by Zipf's law, all methods."""
import argparse
import pathlib

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq

METHODS = ["steam", "boil", "simmer", "stew", "bake", "roast", "saute", "microwave", "pressure", "none"]
METHOD_SHARES = [18, 20, 15, 8, 9, 6, 5, 3, 3, 13]


class Foods:
    """The foods of the table as a grid of food and method."""

    def __init__(self, path):
        table = pq.read_table(path, columns=["food", "method", "edible_share", "drained_share", "yield", "least", "dry"])
        food = table["food"].combine_chunks().dictionary_encode()
        method = table["method"].combine_chunks().dictionary_encode()
        place = np.array([METHODS.index(word) for word in method.dictionary.to_pylist()])[method.indices.to_numpy()]
        self.names = food.dictionary.to_pylist()
        grid = (len(self.names), len(METHODS))

        def column(name):
            values = np.full(grid, np.nan)
            values[food.indices.to_numpy(), place] = table[name].to_numpy()
            return values

        self.edible = column("edible_share") * column("drained_share")
        self.drained = column("drained_share")
        self.cooked = column("yield")
        self.least = np.nan_to_num(column("least"), nan=1.0)
        self.dry = np.nan_to_num(column("dry"), nan=1.0)


def part(foods, rng, ids, spoilt):
    count = rng.integers(5, 16, len(ids))
    lines = int(count.sum())
    owner = np.repeat(np.arange(len(ids)), count)
    rank = np.minimum(rng.zipf(1.15, lines) - 1, 10**9) % len(foods.names)
    food = np.random.default_rng(1).permutation(len(foods.names))[rank].astype(np.int32)
    method = rng.choice(len(METHODS), lines, p=np.array(METHOD_SHARES) / sum(METHOD_SHARES)).astype(np.int32)
    at = food, method
    grams = np.round(np.exp(rng.uniform(np.log(5), np.log(500), lines)), 1)
    is_edible = rng.random(lines) < 0.3
    edible = grams * np.where(is_edible, foods.drained[at], foods.edible[at])
    own = np.round(foods.cooked[at] * rng.uniform(0.95, 1.1, lines), 3)
    has_own = (rng.random(lines) < 0.05) & (own > foods.least[at])
    cooked = edible * np.where(has_own, own, foods.cooked[at])
    has_weighed = rng.random(lines) < 0.1
    weighed = np.round(np.maximum(cooked * rng.uniform(0.9, 1.1, lines), edible * foods.least[at] * 1.02 + 1))
    cooked = np.where(has_weighed, weighed, cooked)
    n = len(ids)
    collected = np.where(rng.random(n) < 0.5, rng.integers(10, 60, n) * 10.0, 0.0)
    returned = np.round(collected * rng.choice([0, 0.25, 0.5, 0.75, 1], n))
    added = np.where(rng.random(n) < 0.3, rng.integers(1, 15, n) * 10.0, 0.0)
    blended = np.bincount(owner, cooked, n) + returned + added
    solids = np.bincount(owner, edible * np.maximum(foods.dry[at], foods.least[at]), n)
    has_puree = rng.random(n) < 0.3
    puree = np.round(np.maximum(blended * rng.uniform(0.97, 1.02, n), solids * 1.1 + returned * 0.01 + 5))
    has_loss = rng.random(n) < 0.2
    loss = np.round(blended * rng.uniform(0.005, 0.05, n), 1)
    fill = rng.choice([0.8, 0.85, 0.9, 0.95], n)
    water = np.where(rng.random(n) < 0.05, "14412", None)
    wrong = rng.choice(n, int(round(n * spoilt)), replace=False)
    for turn, recipe in enumerate(wrong):
        line = int(np.searchsorted(owner, recipe))
        if turn % 5 == 0:
            grams[line] = [np.nan, -1, 0, np.inf][turn // 5 % 4]
        elif turn % 5 == 1:
            fill[recipe] = 1.5
        elif turn % 5 == 2:
            returned[recipe] = collected[recipe] + 50
        elif turn % 5 == 3:
            has_puree[recipe], puree[recipe] = True, 0.5
        else:
            water[recipe], added[recipe] = "00000", 40.0

    def few(codes, words):
        return pa.DictionaryArray.from_arrays(pa.array(codes, pa.int32()), pa.array(words, pa.string()))

    starts = np.cumsum(count) - count
    return pa.table({
        "recipe_id": np.repeat(ids, count),
        "line": pa.array(np.arange(lines) - np.repeat(starts, count) + 1, pa.int32()),
        "food": few(food, foods.names), "method": few(method, METHODS), "grams": grams,
        "basis": few(is_edible.astype(np.int32), ["purchased", "edible"]),
        "weighed_g": pa.array(weighed, mask=~has_weighed), "yield": pa.array(own, mask=~has_own),
    }), pa.table({
        "recipe_id": ids, "collected_ml": collected, "returned_ml": returned, "added_ml": added,
        "water_food": pa.array(water, pa.string()), "puree_weighed_g": pa.array(puree, mask=~has_puree),
        "loss_g": pa.array(loss, mask=~has_loss), "well_ml": rng.choice([15.0, 20, 25, 30, 40, 60], n), "fill": fill,
        "cubes_per_serving": rng.integers(1, 5, n).astype(float), "reheat": rng.random(n) < 0.85,
    })


def main():
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("prepared")
    arguments.add_argument("out", type=pathlib.Path)
    arguments.add_argument("--recipes", type=int, default=1_000_000)
    arguments.add_argument("--parts", type=int, default=8)
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--spoilt", type=float, default=1e-4)
    given = arguments.parse_args()
    foods, rng = Foods(given.prepared), np.random.default_rng(given.seed)
    edges = np.linspace(0, given.recipes, given.parts + 1).astype(int)
    for at, (start, end) in enumerate(zip(edges, edges[1:])):
        tables = part(foods, rng, np.arange(start, end, dtype=np.int64) + 1, given.spoilt)
        for name, table in zip(("lines", "recipes"), tables):
            (given.out / name).mkdir(parents=True, exist_ok=True)
            text = pa.schema([pa.field(one.name, pa.string()) if pa.types.is_dictionary(one.type) else one for one in table.schema])
            words = [one for one in table.column_names if one not in ("recipe_id", "line")]
            pq.write_table(table.cast(text), given.out / name / f"part-{at:05}.parquet", compression="zstd", use_dictionary=words,
                           column_encoding={"recipe_id": "DELTA_BINARY_PACKED"}, row_group_size=1 << 20)


main()
