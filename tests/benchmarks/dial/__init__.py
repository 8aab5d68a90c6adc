"""Virtual coffees, kits and people, and peers that dial them in: a judge for the learner."""
