#!/bin/sh
# The command of a system-wide install; a wheel has its own.
exec /usr/bin/python3 -P -m maturity "$@"
