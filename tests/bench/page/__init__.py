"""The page of a finished sheet: how near its relight comes, and how fast it draws."""
