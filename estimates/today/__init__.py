"""The opening page: what needs somebody, and how the panels in work stand."""
