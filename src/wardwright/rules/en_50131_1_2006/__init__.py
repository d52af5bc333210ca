"""EN 50131-1:2006 with A1:2009: what an intrusion and hold-up system must do, by grade."""
