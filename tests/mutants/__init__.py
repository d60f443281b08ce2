"""Small changes of the code, one at a time: do the tests of its own room see them?"""
