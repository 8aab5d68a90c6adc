"""What the program reads at run time: rules, catalogues, icons."""
