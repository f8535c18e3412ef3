#!/bin/sh
# Installs what the build and some tests want from the system, where this machine
# lets us: Node for the front end, Chromium for the tests that use it and for
# printing, xmllint to check written MusicXML against the W3C schema, ffmpeg for
# recordings in formats that the program does not open itself; and independent
# readers to hold our own against: aubio for pitch and onsets, poppler for printed
# pages, Python modules for calendars and MIDI files. Without all but the first those
# tests skip, and say so. With the argument bench also fluidsynth and a SoundFont of
# 140 MB, whose trombone ours is set beside.
set -u
want=""
command -v node >/dev/null 2>&1 && command -v npm >/dev/null 2>&1 || want="$want nodejs npm"
command -v chromium >/dev/null 2>&1 || want="$want chromium"
command -v xmllint >/dev/null 2>&1 || want="$want libxml2-utils"
command -v ffmpeg >/dev/null 2>&1 || want="$want ffmpeg"
command -v aubiopitch >/dev/null 2>&1 || want="$want aubio-tools"
command -v pdftoppm >/dev/null 2>&1 || want="$want poppler-utils"
if [ "${1:-}" = bench ]; then
	command -v fluidsynth >/dev/null 2>&1 || want="$want fluidsynth"
	[ -f /usr/share/sounds/sf2/FluidR3_GM.sf2 ] || want="$want fluid-soundfont-gm"
fi
for module in icalendar vobject mido; do
	/usr/bin/python3 -c "import $module" >/dev/null 2>&1 || want="$want python3-$module"
done
[ -z "$want" ] && exit 0
if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
	if (apt-get update && apt-get install -y --no-install-recommends $want) >/dev/null 2>&1; then
		exit 0
	fi
fi
echo "not here and not to be installed:$want" >&2
