"""Seeded training exercises: the same seed gives the same exercise everywhere, and calc itself gives the answer.

draws      numbers from a seed, the same on every Python
items      what an exercise is: a number to find, a choice, a sheet with faults, a guess to check
templates  a template draws an item; what is impossible or ambiguous is drawn anew
topics/    the templates, one module a lesson
catalogue  every topic with its templates
sets       so many exercises from a seed, spread over topics
marking    what was typed → right, nearly or wrong, and the mistake behind it
results    a trainee's answers as a document, and what a class still needs
"""
