"""Cost: parts, labour, cable, overhead, margin, tax and recurring charges. Knows design and catalogue."""
