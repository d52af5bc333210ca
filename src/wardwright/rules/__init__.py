"""Judgement: results against the brief's aims and the clauses of standards, as findings."""
