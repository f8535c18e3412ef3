package server

import (
	"net/http"
	"net/http/cookiejar"
	"testing"
)

func newJar(t testing.TB) http.CookieJar {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return jar
}
