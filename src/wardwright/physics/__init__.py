"""Formulas with their equations, ranges and sources. Floats in, floats out; knows no building, device or file."""
