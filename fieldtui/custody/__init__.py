"""Looking after logs from the command line: are they whole, do their figures come out again, bring them together.

figures    every closed length reduced anew from the raw figures       `verify --figures`
telling    what `verify` and `gather` say, for a person and for a program
"""
