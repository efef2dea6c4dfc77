"""Physical constants of the SI, exact since its revision of 2019 (BIPM, SI Brochure, 9th edition)."""

from __future__ import annotations

from typing import Final

PLANCK_CONSTANT: Final = 6.62607015e-34
"""h, J s."""
SPEED_OF_LIGHT: Final = 299792458.0
"""c, m/s."""
BOLTZMANN_CONSTANT: Final = 1.380649e-23
"""k, J/K."""
ELEMENTARY_CHARGE: Final = 1.602176634e-19
"""e, C."""
