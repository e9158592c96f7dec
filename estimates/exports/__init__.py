"""What goes out of the book: tables, the whole archive, the calendar."""
