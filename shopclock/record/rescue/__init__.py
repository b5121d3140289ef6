"""A record taken away from its place: all of it written to another one."""
