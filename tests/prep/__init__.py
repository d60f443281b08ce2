"""Tests of projects: what they need, and the answer before a glue-up."""
