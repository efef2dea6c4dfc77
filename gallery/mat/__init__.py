"""The mat: the marks on the table at 1:1, as pages to print and tape together."""
