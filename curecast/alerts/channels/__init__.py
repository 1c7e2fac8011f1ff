"""Ways to reach people, one module each; ``registry`` finds the one for an address."""
