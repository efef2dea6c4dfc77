"""Scripts that make the small data files of the packages from the tables of reference libraries."""
