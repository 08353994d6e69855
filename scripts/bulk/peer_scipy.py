#!/usr/bin/env python3
"""The calculation as products of sparse matrices: peer_scipy.py EXPORT IN OUT [--threads N]

A recipe is a row over the foods and methods of the table, its grams; a product with the table gives all nutrients at once. What depends
on the returned liquid is one product more, with grams times the returned share. Cold foods stand above warmed ones in one table."""
import argparse
import pathlib
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.parquet as pq
import scipy.sparse as sparse

from exported import BITS, DENSITY, Exported

ROWS_OF_A_GROUP = 131_072


def numbers(table, name, default):
    column = table[name].combine_chunks()
    return pc.fill_null(column, default).to_numpy(zero_copy_only=False)


def given(table, name):
    return pc.is_valid(table[name].combine_chunks()).to_numpy(zero_copy_only=False)


def places(column, words, missing):
    """The place of each row's word in a list of words."""
    chunks = []
    for chunk in column.chunks:
        chunk = chunk if pa.types.is_dictionary(chunk.type) else chunk.dictionary_encode()
        of_words = pc.fill_null(pc.index_in(chunk.dictionary, value_set=words), missing).to_numpy()
        of_words = np.append(of_words, missing)
        chunks.append(of_words[pc.fill_null(chunk.indices, len(chunk.dictionary)).to_numpy()])
    return np.concatenate(chunks) if chunks else np.zeros(0, np.int32)


class Prepared:
    def __init__(self, folder):
        table = pq.read_table(folder / "prepared.parquet")
        self.says = Exported(folder, table.column_names)
        names, rows = self.says.nutrients, table.num_rows

        def matrix(suffix):
            have = [at for at, name in enumerate(names) if name + suffix in self.says.columns]
            cold = np.zeros((rows, len(have)))
            for place, at in enumerate(have):
                cold[:, place] = numbers(table, names[at] + suffix, 0.0)
            return np.array(have, int), np.vstack([cold, cold * warm[:, have]])

        warm = np.ones((rows, len(names)))
        for at, name in enumerate(names):
            if name + "_warm" in self.says.columns:
                warm[:, at] += numbers(table, name + "_warm", 0.0)
        self.kept, self.used, self.both = matrix(""), matrix("_used"), matrix("_both")
        self.rows = rows
        for name in ("edible_share", "drained_share", "yield", "yield_used"):
            setattr(self, name, table[name].to_numpy())
        for name in ("dry", "dry_used", "least", "least_used"):
            setattr(self, name, numbers(table, name, np.nan))
        self.missing = table["missing"].to_numpy()
        self.is_water = table["is_water"].to_numpy(zero_copy_only=False)
        foods, methods = table["food"].combine_chunks().dictionary_encode(), table["method"].combine_chunks().dictionary_encode()
        self.foods, self.methods = foods.dictionary, methods.dictionary
        self.grid = np.full((len(self.foods) + 1, len(self.methods) + 1), -1, np.int32)
        self.grid[foods.indices.to_numpy(), methods.indices.to_numpy()] = np.arange(rows)

    def row_of(self, food, method):
        return self.grid[places(food, self.foods, len(self.foods)), method]


def within(values, most):
    return (values > 0) & (values <= most)


def calculate(prepared, folder, name):
    lines = pq.read_table(folder / "lines" / name, read_dictionary=["food", "method", "basis"], use_threads=False)
    recipes = pq.read_table(folder / "recipes" / name, use_threads=False)
    of_line, of_recipe = lines["recipe_id"].to_numpy(), recipes["recipe_id"].to_numpy()
    of_recipe, first, copies = np.unique(of_recipe, return_index=True, return_counts=True)
    ids = np.union1d(of_line, of_recipe)
    count, at = len(ids), np.searchsorted(ids, of_recipe)
    owner = np.searchsorted(ids, of_line)
    starts = np.searchsorted(owner, np.arange(count + 1))

    def header(column, default):
        values = np.full(count, default)
        values[at] = numbers(recipes, column, default)[first]
        return values

    has_header, twice = np.zeros(count, bool), np.zeros(count, bool)
    has_header[at], twice[at] = True, copies > 1
    collected, returned, added, loss = (header(one, 0.0) for one in ("collected_ml", "returned_ml", "added_ml", "loss_g"))
    puree_g, well, fill, cubes = (header(one, np.nan) for one in ("puree_weighed_g", "well_ml", "fill", "cubes_per_serving"))
    is_weighed, warm = np.zeros(count, bool), np.ones(count, bool)
    is_weighed[at] = given(recipes, "puree_weighed_g")[first]
    warm[at] = numbers(recipes, "reheat", True)[first]
    none = pc.index(prepared.methods, "none").as_py()
    water = np.full(count, prepared.grid[pc.index(prepared.foods, "14411").as_py(), none])
    water[at] = prepared.row_of(pa.chunked_array([pc.fill_null(recipes["water_food"].combine_chunks(), "14411")]), none)[first]
    with np.errstate(all="ignore"):
        share = np.where(collected > 0, np.minimum(1.0, returned / collected), 0.0)

        row = prepared.row_of(lines["food"], places(lines["method"], prepared.methods, len(prepared.methods)))
        known, row = row >= 0, np.maximum(row, 0)
        grams, weighed, own = (numbers(lines, one, np.nan) for one in ("grams", "weighed_g", "yield"))
        basis = places(lines["basis"], pa.array(["purchased", "edible"]), 2)
        basis[~given(lines, "basis")] = 0
        share_of_line = share[owner]
        edible = np.where(basis == 1, grams, grams * prepared.edible_share[row]) * prepared.drained_share[row]
        has_own, has_weighed = given(lines, "yield"), given(lines, "weighed_g")
        cooked = edible * np.where(has_own, own, prepared.__dict__["yield"][row] + share_of_line * prepared.yield_used[row])
        cooked = np.where(has_weighed, weighed, cooked)
        least = edible * (prepared.least[row] + share_of_line * prepared.least_used[row])
        good = within(grams, 1e5)
        wrong = np.where(known, 0, BITS["unknown_food_or_method"]) | np.where(good, 0, BITS["grams"]) | np.where(basis < 2, 0, BITS["basis"])
        fits = (within(weighed, 1e5) | ~has_weighed) & (within(own, 20) | ~has_own)
        wrong |= np.where(fits, 0, BITS["weighed_or_yield"]) | np.where(known & good & (0.98 * least > cooked), BITS["cooked_too_light"], 0)
    errors = np.zeros(count, np.int64)
    bad = wrong != 0
    np.bitwise_or.at(errors, owner[bad], wrong[bad])
    number = np.diff(starts)
    filled = number > 0
    liquid = returned + added
    is_wet = (liquid > 0) & (liquid <= 2e5)
    errors |= np.where(has_header, 0, BITS["no_recipe"]) | np.where(twice, BITS["recipe_twice"], 0) | np.where(filled, 0, BITS["no_lines"])
    errors |= np.where(is_wet & (water < 0), BITS["unknown_water"], 0)
    volumes = np.ones(count, bool)
    for volume in (collected, returned, added):
        volumes &= (volume >= 0) & (volume <= 1e5)
    errors |= np.where(~has_header | (volumes & (returned <= collected)), 0, BITS["liquid"])
    errors |= np.where(~has_header | (within(well, 1e5) & within(fill, 1) & within(cubes, 1e4)), 0, BITS["tray"])
    watery = np.ones(count, np.int64)
    np.bitwise_and.at(watery, owner, (known & prepared.is_water[row]).astype(np.int64))
    errors |= np.where(filled & (watery == 1), BITS["only_water"], 0)

    used = known & ~bad
    edible, cooked, bought = (np.where(used, one, 0.0) for one in (edible, cooked, np.where(basis == 1, grams / prepared.edible_share[row], grams)))
    total = lambda values: np.bincount(owner, values, count)
    missing_of_line = np.where(used, prepared.missing[row], 0)
    missing, nothing = np.zeros(count, np.int64), np.full(count, -1, np.int64)
    missing[filled] = np.bitwise_or.reduceat(missing_of_line, starts[:-1][filled])
    nothing[filled] = np.bitwise_and.reduceat(missing_of_line, starts[:-1][filled])
    of_water, wet = np.maximum(water, 0), np.where(is_wet & (water >= 0), liquid, 0.0)
    missing |= np.where(wet > 0, prepared.missing[of_water], 0)
    nothing &= np.where(wet > 0, prepared.missing[of_water], -1)
    dry = total(edible * np.nan_to_num(prepared.dry[row] + share_of_line * prepared.dry_used[row])) + wet * np.nan_to_num(prepared.dry[of_water])
    place = row + np.where(warm[owner], prepared.rows, 0)
    shape = (count, 2 * prepared.rows)
    sums = sparse.csr_matrix((edible, place, starts), shape) @ prepared.kept[1]
    for (have, table), factor in ((prepared.used, share_of_line), (prepared.both, share_of_line**2)):
        if len(have):
            sums[:, have] += sparse.csr_matrix((edible * factor, place, starts), shape) @ table
    sums += wet[:, None] * prepared.kept[1][of_water]

    says = prepared.says
    column = {one: sums[:, at] for at, one in enumerate(says.nutrients)}
    cooked_g = total(cooked)
    blended = np.where(is_weighed, puree_g, cooked_g + liquid)
    puree = np.where(is_weighed, blended, blended - loss)
    dry_known = total(np.where(used, np.isnan(prepared.dry[row]), 0.0)) + (wet > 0) * np.isnan(prepared.dry[of_water]) == 0
    with np.errstate(all="ignore"):
        heavy = (blended > 0) & np.isfinite(blended) & (np.where(dry_known, dry, 0) <= blended) & (is_weighed | ((loss >= 0) & (loss < blended)))
        errors |= np.where((errors == 0) & ~heavy, BITS["puree_too_light"], 0)
        parts = {one: column[one] for one in ("procnt", "fat", "fibtg", "ash")}
        parts |= {"water": blended - dry, "carbohydrate": np.maximum(column["chocdf"] - column["fibtg"], 0)}
        density = sum(parts.values()) / sum(one / DENSITY[name] for name, one in parts.items()) / 1000
        assumed = ~dry_known | (missing & says.must != 0)
        density = np.where(assumed, 1.0, density)
        cube = well * fill * density
        serving = cube * cubes
        factor = serving / blended
    wrong = errors != 0
    if_right = lambda values: pa.array(values, mask=wrong)
    out = {
        "recipe_id": pa.array(ids), "errors": pa.array(errors.astype(np.int32)), "line_count": pa.array(number.astype(np.int32)),
        "purchased_g": if_right(total(bought)), "edible_g": if_right(total(edible)), "cooked_g": if_right(cooked_g), "liquid_g": if_right(liquid),
        "puree_g": if_right(puree), "density_g_per_ml": if_right(density), "density_assumed": if_right(assumed), "cube_g": if_right(cube),
        "cubes": if_right(puree / np.where(wrong, 1, cube)), "serving_g": if_right(serving), "incomplete": if_right(missing),
    }
    out[says.out[0]] = pa.array(parts["water"] * factor, mask=wrong | (missing & 1 != 0))
    sums = np.asfortranarray(sums * factor[:, None])
    for at, (nutrient, name_out) in enumerate(zip(says.nutrients, says.out[1:])):
        out[name_out] = pa.array(sums[:, at], mask=wrong | (nothing & says.bit[nutrient] != 0))
    return pa.table(out), [(int(one), int(bits)) for one, bits in zip(ids[wrong], errors[wrong])]


def main():
    arguments = argparse.ArgumentParser()
    for name in ("export", "input", "out"):
        arguments.add_argument(name, type=pathlib.Path)
    arguments.add_argument("--threads", type=int, default=2)
    options = arguments.parse_args()
    pa.set_cpu_count(options.threads)
    prepared = Prepared(options.export)
    for name in ("results", "rejects"):
        (options.out / name).mkdir(parents=True, exist_ok=True)

    def work(path):
        results, rejects = calculate(prepared, options.input, path.name)
        pq.write_table(results, options.out / "results" / path.name, compression="zstd", compression_level=1,
                       use_dictionary=["errors", "line_count", "incomplete"], row_group_size=ROWS_OF_A_GROUP)
        rows = [(one, code) for one, bits in rejects for code, bit in BITS.items() if bits & bit]
        pq.write_table(pa.table({"recipe_id": pa.array([one for one, _ in rows], pa.int64()), "code": pa.array([code for _, code in rows], pa.string())}),
                       options.out / "rejects" / path.name)

    with ThreadPoolExecutor(options.threads) as pool:
        list(pool.map(work, sorted((options.input / "lines").glob("*.parquet"))))


main()
