"""What a control panel does with events over time. Pure transition tables; knows no building, socket or clock."""
