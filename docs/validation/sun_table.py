# The sun at each hour of 2026 over 43.1° N 70.8° W, 20 m, by pvlib's own numpy code (method
# nrel_numpy): the least of five runs in seconds, and the sum of the apparent heights in degrees.
# crates/light/benches/sun_beside_pvlib.rs starts it and compares.
import time

import pandas
import pvlib

hours = pandas.date_range("2026-01-01", periods=8760, freq="h", tz="UTC")


def table():
    return pvlib.solarposition.get_solarposition(
        hours, 43.1, -70.8, altitude=20, temperature=12, method="nrel_numpy"
    )


least = float("inf")
for _ in range(5):
    start = time.perf_counter()
    found = table()
    least = min(least, time.perf_counter() - start)
print(pvlib.__version__, least, found["apparent_elevation"].sum())
