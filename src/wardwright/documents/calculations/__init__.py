"""Calculation sheets: how every figure was worked out, so that somebody else can follow it with pencil and paper."""
