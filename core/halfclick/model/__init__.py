"""What a dial-in is made of: frozen records of coffee, kit, recipe, brew, tasting and advice."""
