"""What follows from facts: the rule grammar, three matchers that agree, and proofs.

The only room that imports a rules engine. Numbers stay outside: working memory holds ids and
words, and patterns compare them for equality, nothing else.
"""
