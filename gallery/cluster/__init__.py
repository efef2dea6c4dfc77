"""Who does the work on a sheet: this process, alone or as a share of several, or the workers of a Dask cluster."""
