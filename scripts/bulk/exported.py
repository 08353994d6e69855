"""What `trayful bulk --export` wrote, for the peers: nutrients in their order, and the bits and bounds of what can be wrong."""
import json

FIXED = ["food", "method", "is_water", "missing", "edible_share", "drained_share", "yield", "yield_used", "dry", "dry_used", "least", "least_used"]
# g/cm3 at 20 degrees Celsius, Choi and Okos 1986
T = 20.0
DENSITY = {
    "water": 997.18 + 3.1439e-3 * T - 3.7574e-3 * T * T, "procnt": 1329.9 - 0.5184 * T, "fat": 925.59 - 0.41757 * T,
    "carbohydrate": 1599.1 - 0.31046 * T, "fibtg": 1311.5 - 0.36589 * T, "ash": 2423.8 - 0.28063 * T,
}
BITS = {
    "unknown_food_or_method": 1, "grams": 2, "basis": 4, "weighed_or_yield": 8, "cooked_too_light": 16, "no_recipe": 32, "recipe_twice": 64,
    "no_lines": 128, "liquid": 256, "puree_too_light": 512, "tray": 1024, "unknown_water": 2048, "only_water": 4096,
}


class Exported:
    """The columns of the export; results are for a serving."""

    def __init__(self, folder, columns):
        own = [name for name in columns if name not in FIXED]
        self.nutrients = [name for name in own if not name.endswith(("_used", "_both", "_warm"))]
        self.columns = set(columns)
        said = json.loads((folder / "export.json").read_text())
        self.out = [one["column"] for one in said["columns"]]
        assert all(name.endswith("_per_serving") for name in self.out) and len(self.out) == len(self.nutrients) + 1
        # bit 0 is water, which has no column of its own
        self.bit = {name: 1 << (at + 1) for at, name in enumerate(self.nutrients)}
        self.must = sum(self.bit[name] for name in ("procnt", "fat", "chocdf"))
