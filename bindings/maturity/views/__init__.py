"""How results look in Python: tables, plots and notebook pages of the library's own types."""
