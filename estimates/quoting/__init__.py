"""From a quote to its price, its page, and what a sent one keeps for good."""
