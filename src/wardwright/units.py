"""Conversions at the edges. Inside, everything is SI."""

FOOT_M = 0.3048
INCH_M = 0.0254
ZERO_C_K = 273.15
