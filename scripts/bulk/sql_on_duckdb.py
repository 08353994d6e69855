#!/usr/bin/env python3
"""Runs the exported statements on DuckDB and compares them with the program: sql_on_duckdb.py TRAYFUL

Six hundred invented recipes, one in ten of them spoilt, NaN among what spoils them. Needs the Python package duckdb and no other."""
import math
import pathlib
import random
import subprocess
import sys
import tempfile

try:
    import duckdb
except ImportError:
    print("skipped: the Python package duckdb is not installed, so the exported SQL was not run", file=sys.stderr)
    sys.exit(0)

METHODS = ["steam", "boil", "simmer", "stew", "bake", "roast", "saute", "microwave", "pressure", "none"]
LINES = "recipe_id BIGINT, line INTEGER, food VARCHAR, method VARCHAR, grams DOUBLE, basis VARCHAR, weighed_g DOUBLE, yield DOUBLE"
RECIPES = """recipe_id BIGINT, collected_ml DOUBLE, returned_ml DOUBLE, added_ml DOUBLE, water_food VARCHAR, puree_weighed_g DOUBLE,
             loss_g DOUBLE, well_ml DOUBLE, fill DOUBLE, cubes_per_serving DOUBLE, reheat BOOLEAN"""


def corpus(rng, foods):
    """Lines and recipes; what is spoilt is spoilt in one of its numbers or words."""
    lines, recipes = [], []
    for recipe in range(600):
        of_recipe = [[recipe, at + 1, rng.choice(foods), rng.choice(METHODS), rng.uniform(5, 500), rng.choice([None, "purchased", "edible"]), None,
                      rng.choice([None, None, None, 1.0])] for at in range(rng.randrange(1, 9))]
        collected = rng.choice([0.0, 100.0, 250.0])
        header = [recipe, collected, collected * rng.choice([0, 0.3, 1]), rng.choice([None, 20.0]), rng.choice([None, None, "14412"]), None,
                  rng.choice([None, 4.0]), 30.0, 0.9, 2.0, rng.choice([None, True, False])]
        if rng.random() < 0.1:
            row, at = rng.choice([(of_recipe[0], 4), (of_recipe[0], 6), (of_recipe[0], 7), (header, 1), (header, 5), (header, 8), (header, 9)])
            row[at] = rng.choice([math.nan, -1.0, math.inf, 0.0])
        lines += of_recipe if rng.random() > 0.01 else []
        recipes += [header] * rng.choices([1, 0, 2], [98, 1, 1])[0]
    return lines, recipes


def same(one, other):
    if one is None or other is None or isinstance(one, (bool, int, str)):
        return one == other
    return abs(one - other) <= 1e-9 * max(abs(one), abs(other))


def main(program):
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        run = lambda *words: subprocess.run([program, "bulk", *map(str, words)], capture_output=True, text=True)
        exported = run("--export", folder / "export", "--per", "both")
        if exported.returncode:
            sys.exit(exported.stderr)
        engine = duckdb.connect()
        prepared = folder / "export/prepared.parquet"
        engine.execute(f"CREATE VIEW prepared AS FROM '{prepared}'")
        # Foods of which much is drained, melts, or is not known, and any others.
        foods = [row[0] for row in engine.execute("SELECT DISTINCT food FROM prepared WHERE food LIKE '05%' OR food LIKE '11%' OR dry IS NULL OR missing & 1 <> 0 OR ash IS NULL ORDER BY food").fetchall()]
        lines, recipes = corpus(random.Random(5), foods)
        (folder / "in").mkdir()
        for name, columns, rows in (("lines", LINES, lines), ("recipes", RECIPES, recipes)):
            engine.execute(f"CREATE TABLE {name}_written ({columns})")
            engine.executemany(f"INSERT INTO {name}_written VALUES ({', '.join('?' * len(rows[0]))})", rows)
            engine.execute(f"COPY {name}_written TO '{folder}/in/{name}.parquet'")
            engine.execute(f"CREATE VIEW {name} AS FROM '{folder}/in/{name}.parquet'")
        ended = run(folder / "in", folder / "out", "--per", "both")
        if ended.returncode != 1:
            sys.exit(f"spoilt recipes ended with {ended.returncode}: {ended.stderr}")
        statement = {name: (folder / f"export/{name}.sql").read_text() for name in ("results", "rejects")}
        engine.execute(f"CREATE TABLE results AS {statement['results']}")
        theirs = engine.execute("FROM results ORDER BY recipe_id")
        names = [column[0] for column in theirs.description]
        theirs = theirs.fetchall()
        trayful = engine.execute(f"SELECT {', '.join(names)} FROM '{folder}/out/results/*.parquet' ORDER BY recipe_id").fetchall()
        if len(trayful) != len(theirs):
            sys.exit(f"{len(trayful)} recipes are not {len(theirs)}")
        for one, other in zip(trayful, theirs):
            for name, a, b in zip(names, one, other):
                if not same(a, b):
                    sys.exit(f"recipe {one[0]}, {name}: {a} is not {b}")
        columns = "recipe_id, line, code, what, hint, food, method"
        rejects = engine.execute(f"SELECT {columns} FROM ({statement['rejects']}) ORDER BY ALL").fetchall()
        trayful = engine.execute(f"SELECT {columns} FROM '{folder}/out/rejects/*.parquet' ORDER BY ALL").fetchall()
        if rejects != trayful:
            sys.exit(f"rejects differ: {sorted(set(rejects) ^ set(trayful))[:5]}")
        print(f"the exported SQL on DuckDB {duckdb.__version__}: {len(theirs)} recipes, {len(names)} columns, {len(rejects)} rejects, all equal")


main(sys.argv[1])
