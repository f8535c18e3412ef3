#!/bin/sh
# Installs what the build and some tests want from the system, where this machine
# lets us: Node for the front end, Chromium for the tests that use it and for
# printing, xmllint to check written MusicXML against the W3C schema, ffmpeg for
# recordings in formats that the program does not open itself. Without the last
# three those tests skip, and say so.
set -u
want=""
command -v node >/dev/null 2>&1 && command -v npm >/dev/null 2>&1 || want="$want nodejs npm"
command -v chromium >/dev/null 2>&1 || want="$want chromium"
command -v xmllint >/dev/null 2>&1 || want="$want libxml2-utils"
command -v ffmpeg >/dev/null 2>&1 || want="$want ffmpeg"
[ -z "$want" ] && exit 0
if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
	if (apt-get update && apt-get install -y --no-install-recommends $want) >/dev/null 2>&1; then
		exit 0
	fi
fi
echo "not here and not to be installed:$want" >&2
