#!/usr/bin/env python3
"""The calculation as expressions of Polars, part by part on its streaming engine: peer_polars.py EXPORT IN OUT [--threads N]"""
import argparse
import os
import pathlib

arguments = argparse.ArgumentParser()
for argument in ("export", "input", "out"):
    arguments.add_argument(argument, type=pathlib.Path)
arguments.add_argument("--threads", type=int, default=2)
given = arguments.parse_args()
os.environ["POLARS_MAX_THREADS"] = str(given.threads)
import polars as pl  # noqa: E402  the number of threads is read when it is loaded
from exported import BITS, DENSITY, Exported  # noqa: E402

column, lit, when = pl.col, pl.lit, pl.when
prepared = pl.read_parquet(given.export / "prepared.parquet")
says = Exported(given.export, prepared.columns)
if_true = lambda holds, bit: when(holds.fill_null(False)).then(lit(bit)).otherwise(lit(0))
unless = lambda holds, name: when(holds.fill_null(False)).then(lit(0)).otherwise(lit(BITS[name]))
within = lambda value, most: value.is_finite() & (value > 0) & (value <= most)


def results(lines, recipes):
    volumes = ("collected_ml", "returned_ml", "added_ml", "loss_g")
    header = recipes.group_by("recipe_id").agg(
        pl.len().alias("copies"), *[column(name).fill_null(0.0).max() for name in volumes],
        *[column(name).max() for name in ("puree_weighed_g", "well_ml", "fill", "cubes_per_serving")],
        column("water_food").fill_null("14411").max(), column("reheat").fill_null(True).any().cast(pl.Float64).alias("warm"),
    ).with_columns(
        liquid_g=column("returned_ml") + column("added_ml"),
        share=when(column("collected_ml") > 0).then(pl.min_horizontal(1.0, column("returned_ml") / column("collected_ml"))).otherwise(0.0),
    )
    of_lines = lines.drop("line").join(header.select("recipe_id", "share", "warm", lit(True).alias("has_recipe")), on="recipe_id", how="left")
    water = header.filter((column("liquid_g") > 0) & (column("liquid_g") <= 2e5)).select(
        "recipe_id", food="water_food", method=lit("none"), grams="liquid_g", basis=lit("edible"), weighed_g=lit(None, pl.Float64),
        **{"yield": lit(None, pl.Float64)}, share=lit(0.0), warm=lit(0.0), has_recipe=lit(True), counts=lit(0.0))
    of_lines = of_lines.with_columns(counts=lit(1.0))
    names = of_lines.collect_schema().names()
    rows = pl.concat([of_lines, water.select(names)]).rename({"yield": "own"}).join(
        prepared.lazy().with_columns(known=lit(True)), on=["food", "method"], how="left")
    share, edible = column("share").fill_null(0.0), column("edible_of_line")
    rows = rows.with_columns(edible_of_line=when(column("basis") == "edible").then(column("grams")).otherwise(
        column("grams") * column("edible_share")) * column("drained_share"))
    rows = rows.with_columns(cooked=column("weighed_g").fill_null(edible * column("own").fill_null(column("yield") + share * column("yield_used"))))
    good = within(column("grams"), 1e5)
    light = good & ((column("least") + share * column("least_used")) * 0.98 * edible > column("cooked"))
    of_line = (unless(column("known"), "unknown_food_or_method") | unless(good, "grams")
               | unless(column("basis").fill_null("purchased").is_in(["purchased", "edible"]), "basis")
               | unless(within(column("weighed_g").fill_null(1.0), 1e5) & within(column("own").fill_null(1.0), 20.0), "weighed_or_yield")
               | if_true(light, BITS["cooked_too_light"]) | unless(column("has_recipe"), "no_recipe"))
    rows = rows.with_columns(wrong=when(column("counts") == 1).then(of_line).otherwise(unless(column("known") & (column("drained_share") == 1), "unknown_water")))

    def total(name):
        kept = column(name)
        if name + "_both" in says.columns:
            kept = kept + share * (column(name + "_used") + share * column(name + "_both"))
        elif name + "_used" in says.columns:
            kept = kept + share * column(name + "_used")
        warmed = 1 + column("warm").fill_null(1.0) * column(name + "_warm") if name + "_warm" in says.columns else 1.0
        return (edible * kept * warmed).sum().alias(name)

    sums = rows.group_by("recipe_id").agg(
        column("counts").sum().alias("line_count"), (column("counts") * edible).sum().alias("edible_g"),
        (column("counts") * when(column("basis") == "edible").then(column("grams") / column("edible_share")).otherwise(column("grams"))).sum().alias("purchased_g"),
        (column("counts") * column("cooked")).sum().alias("cooked_g"), (edible * (column("dry") + share * column("dry_used"))).sum().alias("dry_g"),
        column("dry").is_not_null().all().alias("dry_known"),
        (column("is_water").fill_null(False) | (column("counts") == 0)).all().alias("only_water"), column("missing").bitwise_or().alias("incomplete"),
        column("missing").bitwise_and().alias("nothing"), column("wrong").bitwise_or(), *[total(name) for name in says.nutrients])
    batch = header.with_columns(has_recipe=lit(True)).join(sums, on="recipe_id", how="full", coalesce=True)
    lone = column("has_recipe").is_null()
    fits = pl.all_horizontal(*[column(name).is_finite() & (column(name) >= 0) & (column(name) <= 1e5) for name in volumes[:3]])
    tray = within(column("well_ml"), 1e5) & within(column("fill"), 1.0) & within(column("cubes_per_serving"), 1e4)
    counted = column("line_count").fill_null(0.0) > 0
    batch = batch.with_columns(
        blended=column("puree_weighed_g").fill_null(column("cooked_g") + column("liquid_g")),
        dry_g=when(column("dry_known")).then(column("dry_g")),
        found=column("wrong").fill_null(0) | unless(lone | (column("copies") == 1), "recipe_twice") | unless(counted, "no_lines")
        | if_true(counted & column("only_water"), BITS["only_water"])
        | unless(lone | (fits & (column("returned_ml") <= column("collected_ml"))), "liquid") | unless(lone | tray, "tray"))
    heavy = (column("blended").is_finite() & (column("blended") > 0) & (column("dry_g").fill_null(0.0) <= column("blended"))
             & (column("puree_weighed_g").is_not_null() | ((column("loss_g") >= 0) & (column("loss_g") < column("blended")))))
    batch = batch.with_columns(
        errors=column("found") | when(column("found") == 0).then(unless(heavy, "puree_too_light")).otherwise(lit(0)), water_g=column("blended") - column("dry_g"),
        puree_g=when(column("puree_weighed_g").is_null()).then(column("blended") - column("loss_g")).otherwise(column("blended")),
        density_assumed=column("dry_g").is_null() | (column("incomplete").fill_null(0) & says.must != 0))
    parts = {"water": column("water_g"), "procnt": column("procnt"), "fat": column("fat"), "fibtg": column("fibtg"), "ash": column("ash"),
             "carbohydrate": pl.max_horizontal(column("chocdf") - column("fibtg"), 0.0)}
    right = column("errors") == 0
    density = sum(parts.values()) / sum(one / DENSITY[name] for name, one in parts.items()) / 1000
    batch = batch.with_columns(density=when(~right).then(None).when(column("density_assumed")).then(1.0).otherwise(density))
    batch = batch.with_columns(cube_g=column("well_ml") * column("fill") * column("density"))
    batch = batch.with_columns(serving_g=column("cube_g") * column("cubes_per_serving"))
    batch = batch.with_columns(factor=column("serving_g") / when(right).then(column("blended")))
    nutrients = [when(column("nothing").fill_null(0) & says.bit[name] == 0).then(column(name) * column("factor")).alias(out)
                 for name, out in zip(says.nutrients, says.out[1:])]
    masses = [when(right).then(column(name)).alias(name) for name in ("purchased_g", "edible_g", "cooked_g", "liquid_g", "puree_g")]
    return batch.select(
        "recipe_id", "errors", column("line_count").fill_null(0.0).cast(pl.Int32), *masses, column("density").alias("density_g_per_ml"),
        when(right).then(column("density_assumed")).alias("density_assumed"), "cube_g", (column("puree_g") / column("cube_g")).alias("cubes"), "serving_g",
        when(right).then(column("incomplete")).alias("incomplete"), when(column("incomplete") & 1 == 0).then(column("water_g") * column("factor")).alias(says.out[0]), *nutrients)


for folder in ("results", "rejects"):
    (given.out / folder).mkdir(parents=True, exist_ok=True)
for part in sorted((given.input / "lines").glob("*.parquet")):
    tables = [pl.scan_parquet(given.input / table / part.name) for table in ("lines", "recipes")]
    out = given.out / "results" / part.name
    results(*tables).sink_parquet(out, compression="zstd", compression_level=1, engine="streaming")
    wrong = pl.scan_parquet(out).filter(column("errors") != 0).select("recipe_id", "errors").collect()
    found = [wrong.filter(column("errors") & bit != 0).select("recipe_id", code=lit(code)) for code, bit in BITS.items()]
    pl.concat(found).write_parquet(given.out / "rejects" / part.name)
