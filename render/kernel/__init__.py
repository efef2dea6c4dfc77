"""The path tracer: the only code that imports Mitsuba and Dr.Jit, and only when something is traced.

Terms, as in Pharr, Jakob and Humphreys, "Physically Based Rendering" (PBRT): at a surface point `outgoing` points back
along the path, towards the camera or meter, and `incident` to where the light comes from. A `lane` is one entry of a
Dr.Jit array: one pixel's path, or one meter's. A `tint` is a factor by wavelength.
"""

from typing import Final

KERNEL_VERSION: Final = "one-trace-15"
"""Part of every stored result's key: change it when the same scene would trace differently."""
