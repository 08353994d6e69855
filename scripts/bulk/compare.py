#!/usr/bin/env python3
"""Whether two outputs say the same of every recipe: compare.py ONE OTHER. Figures within 1e-9, what is not known in both, the same rejects."""
import pathlib
import sys

import pyarrow.compute as pc
import pyarrow.parquet as pq


def table(folder, name, keys):
    # What an engine calls a string differs; the order of rows in its files too.
    read = pq.read_table(pathlib.Path(folder) / name)
    return read.sort_by([(key, "ascending") for key in keys])


def main(one, other):
    first, second = (table(folder, "results", ["recipe_id"]) for folder in (one, other))
    if not first["recipe_id"].equals(second["recipe_id"].cast(first["recipe_id"].type)):
        sys.exit("the outputs have not the same recipes")
    lacking = set(first.column_names) ^ set(second.column_names)
    if lacking:
        sys.exit(f"columns of one output alone: {sorted(lacking)}")
    worst = 0.0
    for name in first.column_names:
        a, b = first[name].combine_chunks(), second[name].combine_chunks()
        if not pc.all(pc.equal(pc.is_null(a), pc.is_null(b))).as_py():
            at = pc.index(pc.equal(pc.is_null(a), pc.is_null(b)), False).as_py()
            sys.exit(f"{name} of recipe {first['recipe_id'][at]}: {a[at]} is not {b[at]}")
        if name.startswith(("recipe_id", "errors", "line_count", "incomplete", "density_assumed")):
            if not pc.all(pc.equal(a.drop_null(), b.drop_null().cast(a.type))).as_py():
                sys.exit(f"{name} differs")
            continue
        a, b = a.drop_null().to_numpy(), b.drop_null().to_numpy()
        size = abs(a).clip(min=1e-300)
        far = abs(a - b) / size
        far[a == b] = 0
        if len(far) and far.max() > 1e-9:
            at = int(far.argmax())
            sys.exit(f"{name}: {a[at]!r} is not {b[at]!r}")
        worst = max(worst, far.max() if len(far) else 0.0)
    rejects = [{(str(row["recipe_id"]), row["code"]) for row in table(folder, "rejects", ["recipe_id"]).select(["recipe_id", "code"]).to_pylist()}
               for folder in (one, other)]
    if rejects[0] != rejects[1]:
        sys.exit(f"rejects of one output alone: {sorted(rejects[0] ^ rejects[1])[:10]}")
    print(f"equal: {first.num_rows} recipes, {len(first.column_names)} columns, {len(rejects[0])} rejects; farthest apart {worst:.1e}")


main(*sys.argv[1:])
