"""From what is known to what is likely and what to do: chaining, beliefs, remedies, plan."""
