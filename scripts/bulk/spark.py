#!/usr/bin/env python3
"""The calculation on Apache Spark: spark.py HOW EXPORT IN OUT [--program TRAYFUL] [--kill-one] [--master MASTER]

sql: the exported statements over the parts as they are. bucketed: the same over tables bucketed by recipe first, without a shuffle.
parts: Spark hands out parts, and each task runs the program. --kill-one kills a worker while the others work."""
import argparse
import os
import pathlib
import signal
import subprocess
import sys
import threading
import time

import pyspark

arguments = argparse.ArgumentParser()
arguments.add_argument("how", choices=["sql", "bucketed", "parts"])
for name in ("export", "input", "out"):
    arguments.add_argument(name, type=pathlib.Path)
arguments.add_argument("--program")
arguments.add_argument("--kill-one", action="store_true")
arguments.add_argument("--master", default="local-cluster[2,1,2048]")
given = arguments.parse_args()
os.environ.update(SPARK_HOME=os.path.dirname(pyspark.__file__), PYSPARK_PYTHON=sys.executable, SPARK_LOCAL_IP="127.0.0.1")
from pyspark.sql import SparkSession  # noqa: E402

PARTS = 8
settings = {
    "spark.ui.enabled": "false", "spark.driver.bindAddress": "127.0.0.1", "spark.driver.host": "127.0.0.1", "spark.ui.showConsoleProgress": "false",
    "spark.sql.warehouse.dir": str(given.out.resolve() / "warehouse"), "spark.executor.memory": "2048m", "spark.executor.cores": "1",
    # As many tasks as there are parts; the statements are wide, so all else stays as it is.
    "spark.sql.shuffle.partitions": PARTS, "spark.sql.files.maxPartitionBytes": "8m", "spark.sql.files.openCostInBytes": "0",
    "spark.sql.parquet.compression.codec": "zstd",
}
builder = SparkSession.builder.master(given.master).appName("bulk")
for key, value in settings.items():
    builder = builder.config(key, value)
spark = builder.getOrCreate()
spark.sparkContext.setLogLevel("ERROR")


def below(process):
    """The processes that a process of this script has started."""
    parents = {}
    for entry in pathlib.Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                parents[int(entry.name)] = int((entry / "stat").read_text().rsplit(")", 1)[1].split()[1])
            except OSError:
                pass
    found, grown = {process}, True
    while grown:
        more = {child for child, parent in parents.items() if parent in found} - found
        grown = bool(more)
        found |= more
    return found - {process}


def kill_one():
    """Kills an executor that this driver started, by its own number, once."""
    for _ in range(600):
        for process in below(os.getpid()):
            try:
                command = pathlib.Path(f"/proc/{process}/cmdline").read_bytes()
            except OSError:
                continue
            if b"CoarseGrainedExecutorBackend" in command and b"java" in command.split(b"\0")[0]:
                time.sleep(2)
                os.kill(process, signal.SIGKILL)
                print("killed a worker", flush=True)
                return
        time.sleep(0.1)


def run_part(name):
    """Runs the program for one part; it ends with 1 where it cannot calculate something, and everything above is a failure that is tried again."""
    command = [given_program, "bulk", given_input, given_out, "--threads", "1", "--part", name]
    ended = subprocess.run(command, capture_output=True, text=True)
    if ended.returncode > 1:
        raise RuntimeError(ended.stderr[-500:])
    time.sleep(pause)
    return os.getpid()


start = time.perf_counter()
pause = 1 if given.kill_one else 0
killer = threading.Thread(target=kill_one, daemon=True)
if given.how == "parts":
    given_program, given_input, given_out = given.program, str(given.input.resolve()), str(given.out.resolve())
    names = sorted(path.name for path in (given.input / "lines").glob("*.parquet"))
    if given.kill_one:
        killer.start()
    workers = spark.sparkContext.parallelize(names, len(names)).map(run_part).collect()
    print(f"{len(names)} parts by {len(set(workers))} workers, {time.perf_counter() - start:.1f} s")
    spark.stop()
    sys.exit()

for name in ("lines", "recipes"):
    table = spark.read.parquet(str(given.input / name))
    if given.how == "bucketed":
        writer = table.repartition(PARTS, "recipe_id").write.mode("overwrite").option("path", str(given.out.resolve() / "bucketed" / name))
        writer.bucketBy(PARTS, "recipe_id").sortBy("recipe_id").saveAsTable(f"{name}_in_buckets")
        table = spark.table(f"{name}_in_buckets")
    table.createOrReplaceTempView(name)
spark.read.parquet(str(given.export / "prepared.parquet")).createOrReplaceTempView("prepared")
results = spark.sql((given.export / "results.sql").read_text())
shuffles = results._jdf.queryExecution().executedPlan().toString().count("Exchange hashpartitioning")
print(f"{shuffles} shuffles by hash in the plan")
if given.how == "bucketed" and shuffles:
    sys.exit("bucketed tables are shuffled")
if given.kill_one:
    killer.start()
start = time.perf_counter()
results.write.mode("overwrite").parquet(str(given.out / "results"))
spark.read.parquet(str(given.out / "results")).createOrReplaceTempView("results")
spark.sql((given.export / "rejects.sql").read_text()).write.mode("overwrite").parquet(str(given.out / "rejects"))
print(f"{time.perf_counter() - start:.1f} s")
spark.stop()
