"""Irradiance on planes while one that faces the sun squarely has 1000 W/m2, by pvlib 0.16.1.

Prints the table in src/sun/full.rs: sun's elevation and azimuth, plane's tilt and azimuth, W/m2.
Direct light 900 W/m2, isotropic sky, albedo 0.2; the sky's DHI is found by bisection.
"""

from pvlib.irradiance import get_total_irradiance


def on_plane(elevation, sun_azimuth, tilt, azimuth, dhi):
    from math import radians, sin

    zenith = 90 - elevation
    ghi = 900 * sin(radians(elevation)) + dhi
    parts = get_total_irradiance(
        tilt, azimuth, zenith, sun_azimuth, 900, ghi, dhi, albedo=0.2, model="isotropic"
    )
    return parts["poa_global"]


def brightness(elevation, sun_azimuth):
    lo, hi = 0.0, 500.0
    for _ in range(60):
        mid = 0.5 * (lo + hi)
        if on_plane(elevation, sun_azimuth, 90 - elevation, sun_azimuth, mid) < 1000:
            lo = mid
        else:
            hi = mid
    return 0.5 * (lo + hi)


CASES = [
    ((60, 90), (30, 90)),
    ((60, 90), (30, 270)),
    ((60, 90), (90, 180)),
    ((50, 180), (30, 90)),
    ((50, 180), (40, 270)),
    ((35, 200), (0, 180)),
    ((20, 120), (70, 120)),
    ((20, 120), (90, 0)),
]

for (elevation, sun_azimuth), (tilt, azimuth) in CASES:
    dhi = brightness(elevation, sun_azimuth)
    watts = on_plane(elevation, sun_azimuth, tilt, azimuth, dhi)
    print(f"[{elevation}.0, {sun_azimuth}.0, {tilt}.0, {azimuth}.0, {watts:.4f}],")
