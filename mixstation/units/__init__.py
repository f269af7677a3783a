"""Reading and printing masses, volumes, lengths, temperatures, times and shares; exact factors inside."""
