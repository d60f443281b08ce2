"""The journal's promises, one file per group of promises."""
