// Package browser holds the tests of the front end in a real browser: they build
// the program, run it over a folder of its own and drive a headless Chromium
// through each screen as a person would, with mouse, keyboard and dropped files.
// Where no Chromium is installed they are skipped, aloud.
//
// WATERKEY_SHOTS=FOLDER keeps pictures of every screen in a folder.
package browser
