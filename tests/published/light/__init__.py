"""Light on the table and in rooms, against handbooks, standards and closed forms."""
