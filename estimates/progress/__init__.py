"""The customer's page of a job: its link, its e-mail, what it shows."""
