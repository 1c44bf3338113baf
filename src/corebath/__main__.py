"""`python -m corebath`: the same as the command `corebath`."""

from corebath.cli import main

if __name__ == "__main__":
    main(prog_name="corebath")
