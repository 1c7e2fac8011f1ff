"""What the units are, by definition; every factor is a product of these.

The international yard and pound (1959), the US gallon of 231 cubic inches and standard
gravity: NIST SP 811 (2008), appendix B. The Btu of the International Table: ISO 31-4.
"""

from __future__ import annotations

INCH_M = 0.0254
FOOT_M = 12 * INCH_M
YARD_M = 3 * FOOT_M
MILE_M = 1760 * YARD_M
POUND_KG = 0.45359237
GRAVITY_M_S2 = 9.80665
POUND_FORCE_N = POUND_KG * GRAVITY_M_S2
PSI_MPA = POUND_FORCE_N / INCH_M**2 / 1e6
US_GALLON_L = 231 * INCH_M**3 * 1000
IMPERIAL_GALLON_L = 4.54609
BTU_J = 1055.05585262
RANKINE_K = 5 / 9
R_US_M2K_W = FOOT_M**2 * RANKINE_K * 3600 / BTU_J
ZERO_C_K = 273.15
