"""What a design costs: parts, labour, cable, overhead, margin, tax, recurring charges, and three offers side by side.

Knows design and catalogue. Money is :class:`decimal.Decimal`, rounded line by line so that a printed sum adds up.
"""
