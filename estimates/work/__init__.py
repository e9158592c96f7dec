"""Work against its estimate: hours, cost, what is to go, and when it will be done."""
