#!/bin/sh
# Installs xmllint, with which written MusicXML is checked against the W3C
# schema, where this machine lets us. Without it those tests skip, and say so.
set -u
command -v xmllint >/dev/null 2>&1 && exit 0
if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
	if (apt-get update && apt-get install -y --no-install-recommends libxml2-utils) >/dev/null 2>&1; then
		exit 0
	fi
fi
echo "xmllint is not here and cannot be installed; tests against the MusicXML schema will skip" >&2
