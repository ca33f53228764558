"""The whole job: one plan document through all the calculators."""
