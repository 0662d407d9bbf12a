"""`python -m snath`: the same as `snath`."""

from snath.shop.cli.main import main

main()
