// Openapi writes the description of the API, from which the front end's client is
// made.
package main

import (
	"encoding/json"
	"fmt"
	"os"

	"waterkey/server"
)

func main() {
	e := json.NewEncoder(os.Stdout)
	e.SetIndent("", "  ")
	if err := e.Encode(server.Description()); err != nil {
		fmt.Fprintln(os.Stderr, "openapi:", err)
		os.Exit(1)
	}
}
