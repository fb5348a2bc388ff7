"""`python -m maturity` is the command `maturity`."""

from maturity.commands import main

if __name__ == "__main__":
    main()
