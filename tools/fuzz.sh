#!/bin/sh
# Runs every fuzz target of the module, one after the other: fuzz.sh GO TIME.
set -eu
go=$1
time=$2
for package in $("$go" list -f '{{if or .TestGoFiles .XTestGoFiles}}{{.ImportPath}}{{end}}' ./...); do
	for target in $("$go" test -list '^Fuzz' "$package" | grep '^Fuzz' || true); do
		echo "$package $target"
		"$go" test -run '^$' -fuzz "^$target\$" -fuzztime "$time" -fuzzminimizetime 20x "$package"
	done
done
