"""Stand-ins for a model that there is no mesh of, a module each."""
