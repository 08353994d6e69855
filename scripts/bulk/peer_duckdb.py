#!/usr/bin/env python3
"""The exported SQL on DuckDB, part by part, as it is fastest: peer_duckdb.py EXPORT IN OUT [--threads N]

Every part has whole recipes, so a query over one part needs no more than the rows of that part."""
import argparse
import pathlib

import duckdb

arguments = argparse.ArgumentParser()
for name in ("export", "input", "out"):
    arguments.add_argument(name, type=pathlib.Path)
arguments.add_argument("--threads", type=int, default=2)
given = arguments.parse_args()
engine = duckdb.connect(config={"threads": given.threads, "preserve_insertion_order": "false"})
engine.execute(f"CREATE TABLE prepared AS FROM '{given.export}/prepared.parquet'")
statements = {name: (given.export / f"{name}.sql").read_text() for name in ("results", "rejects")}
parts = sorted((given.input / "lines").glob("*.parquet"))
for name in statements:
    (given.out / name).mkdir(parents=True, exist_ok=True)
for part in parts:
    for table in ("lines", "recipes"):
        engine.execute(f"CREATE OR REPLACE VIEW {table} AS FROM '{given.input}/{table}/{part.name}'")
    for name, statement in statements.items():
        engine.execute(f"COPY ({statement}) TO '{given.out}/{name}/{part.name}' (FORMAT parquet, COMPRESSION zstd, COMPRESSION_LEVEL 1)")
        engine.execute(f"CREATE OR REPLACE VIEW results AS FROM '{given.out}/results/{part.name}'")
