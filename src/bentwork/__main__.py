"""``python -m bentwork``."""

from bentwork.cli.main import main

main()
