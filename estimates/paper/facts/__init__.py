"""What documents say, read from the book: one module a document. Only these modules know the database."""
