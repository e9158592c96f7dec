"""The panel builder: reading, working out, showing and saving a panel while it is being built."""
