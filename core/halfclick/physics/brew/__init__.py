"""One brew simulated: water through a bed, heat, and what dissolves; batches of them at once."""
