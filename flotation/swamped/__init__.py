"""From a boat and its foam to an assessment: does the swamped boat meet the calculated limits?

`assess.assess` works out the general method; `assessment` has the values that it gives.
"""
