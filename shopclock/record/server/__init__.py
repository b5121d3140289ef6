"""The shop's server: where benches meet through PostgreSQL, each writing to its own record first."""
