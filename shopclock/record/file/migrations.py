"""The steps from one version of the record to the next, each in `versions/`, never changed once released."""
